"""Decimal and thousands marks by what the numbers of a table show, and its cells as numbers."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from shadefmt.converters.proposing.words import BLANKS
from shadefmt.converters.table.cells import Numeral
from shadefmt.converters.table.numbers import NumberForm, NumberReader
from shadefmt.errors import Refused

_FORMS: Final = {
    mark: re.compile(rf"[+\u2212-]?[0-9]*{re.escape(sign)}[0-9]+(?:[eE][+-]?[0-9]+)?[ ]?%?")
    for mark, sign in (("point", "."), ("comma", ","))
}
_GROUP_LIKE: Final = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_GROUPED: Final = {
    ("comma", "point"): re.compile(r"[+-]?[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+"),
    ("point", "comma"): re.compile(r"[+-]?[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+"),
    ("comma", "blank"): re.compile(r"[+-]?[1-9][0-9]{0,2}(?:[ \u00a0\u202f][0-9]{3})+,[0-9]+"),
    ("point", "apostrophe"): re.compile(r"[+-]?[1-9][0-9]{0,2}(?:['\u2019][0-9]{3})+\.[0-9]+"),
}


@dataclass(frozen=True)
class Marks:
    """The marks of a table's numbers, what speaks for them, and whether a person has to decide."""

    members: dict[str, Any]
    finding: str
    open: bool = False


def marks_of(cells: Iterable[str]) -> Marks:
    """Return the marks that the numbers of a table show; dates have two marks and do not count.

    Nor do cells that a spreadsheet holds as numbers: they have no marks of their own.
    """
    texts = [text.strip() for text in cells if not isinstance(text, Numeral)]
    for (mark, group), form in _GROUPED.items():
        if any(map(form.fullmatch, texts)):
            return Marks(
                {"decimal_mark": mark, "thousands_mark": group}, f"Decimal {mark}, thousands {group}: seen so."
            )
    clear = {
        mark: sum(bool(form.fullmatch(text)) for text in texts if not _GROUP_LIKE.fullmatch(text))
        for mark, form in _FORMS.items()
    }
    doubtful = {
        mark: sum(bool(form.fullmatch(text)) for text in texts if _GROUP_LIKE.fullmatch(text))
        for mark, form in _FORMS.items()
    }
    mark = max(clear, key=lambda each: clear[each])
    if clear[mark]:
        other = min(clear.values())
        said = f"Decimal {mark}: {clear[mark]} cells are written so, {other} with the other mark."
        return Marks({"decimal_mark": mark}, said, open=other > 0)
    mark = max(doubtful, key=lambda each: doubtful[each])
    if doubtful[mark]:
        said = f"{doubtful[mark]} cells have a {mark} before three digits: decimals, or thousands."
        return Marks({"decimal_mark": mark}, said, open=True)
    return Marks({"decimal_mark": "point"}, "No decimal mark was seen; point stands for it.")


@dataclass
class Look:
    """What the cells of one column show."""

    index: int
    texts: Sequence[str]
    numbers: Sequence[float]
    odd: Sequence[str]
    percent_signs: bool
    blank: int

    @property
    def numeric(self) -> bool:
        """Whether the column holds numbers, but for a few texts."""
        return len(self.numbers) > 0 and len(self.numbers) >= 0.6 * len(self.texts)

    @property
    def blanks(self) -> set[str]:
        """Texts among its numbers that may mean that there is none."""
        return set(BLANKS.intersection(self.odd)) if self.numeric else set()

    @property
    def distinct(self) -> list[str]:
        """Its texts, each once, in order of first appearance."""
        return list(dict.fromkeys(self.texts))


def look_at(index: int, cells: Iterable[str], marks: Marks) -> Look:
    """Return what one column shows."""
    reader = NumberReader(
        NumberForm(marks.members["decimal_mark"], marks.members.get("thousands_mark"), percent_sign=True)
    )
    bare = [text.strip() for text in cells]
    texts = [text for text in bare if text]
    numbers: list[float] = []
    odd: list[str] = []
    for text in texts:
        try:
            numbers.append(float(reader(text)[0]))
        except Refused:
            odd.append(text)
    return Look(index, texts, numbers, odd, any(text.endswith("%") for text in texts), len(bare) - len(texts))
