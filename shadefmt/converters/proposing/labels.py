"""Cells above a table that say what holds for all rows: illuminant, observer, and when it was taken."""

from collections.abc import Sequence
from typing import Any, Final, get_args

from shadefmt.converters.proposing.headers import heading
from shadefmt.converters.proposing.members import is_iso_date
from shadefmt.converters.proposing.words import meaning
from shadefmt.converters.table.body import bare_label
from shadefmt.converters.table.source import Row
from shadefmt.vocabulary import Illuminant

_WORDS: Final = ("reading.colour.illuminant", "reading.colour.observer")


def labelled_cells(above: Sequence[Row]) -> list[dict[str, Any]]:
    """Return the labelled cells of the lines above a table that can be read without a guess."""
    found: dict[str, dict[str, Any]] = {}
    for _, cells in above:
        texts = [text.strip() for text in cells if text.strip()]
        for label, text in zip(texts[::2], texts[1::2], strict=False):
            said = heading(label)
            if said.member is None or not said.whole or said.member in found:
                continue
            entry: dict[str, Any] = {"label": bare_label(label), "member": said.member}
            if said.member in _WORDS:
                value = text if text in get_args(Illuminant) else meaning(said.member, text)
                if value is None:
                    continue
                if value != text:
                    entry["vocabulary"] = [{"text": text, "value": value}]
            elif said.member not in ("reading.at", "session.started") or not is_iso_date(text):
                continue
            found[said.member] = entry
    return list(found.values())
