"""Were the rows of each case adjacent? Sixteen bytes a case, whatever its key."""

from array import array
from hashlib import blake2b
from itertools import pairwise

from shadefmt.errors import Refused

_PARTS = 256


class CaseOrder:
    """Remembers the keys of cases and the lines that they begin on, in parts that are compared one by one."""

    def __init__(self) -> None:
        self._parts = [(array("Q"), array("Q")) for _ in range(_PARTS)]

    def add(self, key: tuple[str, ...], line: int) -> None:
        """Note that the rows of a case begin."""
        text = "".join(f"{len(part)}:{part}" for part in key)
        digest = blake2b(text.encode(), digest_size=9).digest()
        keys, lines = self._parts[digest[8]]
        keys.append(int.from_bytes(digest[:8], "big"))
        lines.append(line)

    def demand_distinct(self) -> None:
        """Raise Refused where a case began twice, naming both lines."""
        again = [pair for keys, lines in self._parts for pair in _again(keys, lines)]
        if again:
            late, early = min(again)
            raise Refused(
                f"rows of the case that began in line {early} go on here after rows of another",
                where=f"line {late}",
                remedy="sort the table so that the rows of each case are adjacent",
            )


def _again(keys: "array[int]", lines: "array[int]") -> list[tuple[int, int]]:
    """Lines on which a key stands again, each with the line that it stood on before."""
    places = sorted(range(len(keys)), key=keys.__getitem__)
    return [(lines[late], lines[early]) for early, late in pairwise(places) if keys[early] == keys[late]]
