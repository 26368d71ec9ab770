"""Were the rows of each case adjacent? Sixteen bytes a case, whatever its key."""

from array import array
from hashlib import blake2b
from itertools import pairwise

from shadefmt.errors import Refused


class CaseOrder:
    """Remembers the keys of cases and the lines that they begin on."""

    def __init__(self) -> None:
        self._keys = array("Q")
        self._lines = array("Q")

    def add(self, key: tuple[str, ...], line: int) -> None:
        """Note that the rows of a case begin."""
        text = "".join(f"{len(part)}:{part}" for part in key)
        self._keys.append(int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "big"))
        self._lines.append(line)

    def demand_distinct(self) -> None:
        """Raise Refused where a case began twice, naming both lines."""
        keys, lines = self._keys, self._lines
        places = sorted(range(len(keys)), key=keys.__getitem__)
        again = [(lines[late], lines[early]) for early, late in pairwise(places) if keys[early] == keys[late]]
        if again:
            late, early = min(again)
            raise Refused(
                f"rows of the case that began in line {early} go on here after rows of another",
                where=f"line {late}",
                remedy="sort the table so that the rows of each case are adjacent",
            )
