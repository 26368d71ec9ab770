"""Where the table lies among the rows of a file: headers, first row, end, headers that come again."""

import re
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.proposing.headers import recognised
from shadefmt.converters.proposing.words import ENDS, plain
from shadefmt.converters.table.source import Row
from shadefmt.errors import Refused

_NUMBER: Final = re.compile(r"[+\u2212-]?[0-9][0-9.,' ]*(?:[eE][+-]?[0-9]+)?[ ]?%?")
_HEADERS_WITHIN: Final = 200


def is_number(text: str) -> bool:
    """Whether a cell looks like a number, whatever its marks."""
    return bool(_NUMBER.fullmatch(text.strip()))


@dataclass
class Region:
    """The headers (empty texts where there are none), the rows below them, and the layout that says so."""

    headers: list[str]
    over: list[str]
    above: list[Row]
    rows: list[Row]
    layout: dict[str, Any]
    findings: list[str] = field(default_factory=list)


def region_of(rows: list[Row]) -> Region:
    """Return where the table lies.

    Raises:
        Refused: there are no rows, or they have another width than the headers.
    """
    filled = _filled(rows)
    if not filled:
        raise Refused("the table has no rows", where="line 1")
    place = _header_place(filled)
    if place is None:
        if not any(is_number(cell) for _, cells in filled for cell in cells):
            raise Refused(
                "neither headers nor numbers were found",
                where=f"line {filled[0][0]}",
                remedy="see whether this is a table of colour readings",
            )
        width = max(len(cells) for _, cells in filled)
        return Region(
            [""] * width, [], [], _fit(filled, width), {}, ["No headers were recognised: columns go by number."]
        )
    line, headers = filled[place]
    over = filled[place - 1][1] if place else []
    region = Region([text.strip() for text in headers], over, filled[:place], [], {"header_line": line})
    if place:
        region.findings.append(f"Lines above the table: {place}; what they say is not read.")
    below = filled[place + 1 :]
    kept = [row for row in below if [text.strip() for text in row[1]] != region.headers]
    if len(kept) < len(below):
        region.layout["headers_repeat"] = True
        region.findings.append(f"The headers come again {len(below) - len(kept)} times.")
    kept = _without_units(region, kept)
    region.rows = _fit(_ended(region, kept, rows), len(headers))
    return region


def header_line(rows: list[Row]) -> int | None:
    """Return the line of the headers among rows, None where there are none."""
    filled = _filled(rows)
    place = _header_place(filled)
    return None if place is None else filled[place][0]


def _filled(rows: list[Row]) -> list[Row]:
    return [(line, cells) for line, cells in rows if any(cell.strip() for cell in cells)]


def _header_place(rows: list[Row]) -> int | None:
    """The row with the most cells that are recognised as headers."""
    best, place = 0, None
    for index, (_, cells) in enumerate(rows[:_HEADERS_WITHIN]):
        texts = [cell for cell in cells if cell.strip()]
        known = sum(map(recognised, texts))
        if known > best and 2 * known >= len(texts) - 4 and index + 1 < len(rows):
            best, place = known, index
    return place if best >= 2 else None


def _without_units(region: Region, rows: list[Row]) -> list[Row]:
    """Pass over lines between headers and rows, such as one with units."""
    first = next((index for index, (_, cells) in enumerate(rows) if any(map(is_number, cells))), 0)
    if first:
        region.layout["first_row_line"] = rows[first][0]
        region.findings.append(f"Lines between headers and rows: {first}; what they say is not read.")
    return rows[first:]


def _ended(region: Region, rows: list[Row], everything: list[Row]) -> list[Row]:
    """Leave out what stands below the rows, and say in the layout how a reader knows."""
    usual = [index for index, (_, cells) in enumerate(rows) if _is_row(cells, rows[0][1])]
    last = usual[-1] + 1 if usual else len(rows)
    if last == len(rows):
        return rows
    line, cells = rows[last]
    region.findings.append(f"Lines below the table, from line {line}: {len(rows) - last}; what they say is not read.")
    before = rows[last - 1][0]
    blank = [at for at, texts in everything if at > before and not any(text.strip() for text in texts)]
    first_blank = next((at for at, texts in everything if at > rows[0][0] and not any(map(str.strip, texts))), 0)
    if blank and blank[0] < line and first_blank > before:
        region.layout["ends_at_blank_row"] = True
    elif cells[0].strip() and all(cells[0].strip() != row[0].strip() for _, row in rows[:last]):
        region.layout["end_word"] = cells[0].strip()
    return rows[:last]


def _is_row(cells: list[str], first: list[str]) -> bool:
    """Whether a row has as many numbers as the first, or half as many, and no word of an end before them."""
    numbers, usual = sum(map(is_number, cells)), sum(map(is_number, first))
    return 2 * numbers >= usual and not ENDS.intersection(plain(cells[0]))


def _fit(rows: list[Row], width: int) -> list[Row]:
    for line, cells in rows:
        if len(cells) > width and any(cell.strip() for cell in cells[width:]):
            raise Refused(
                f"the row has {len(cells)} cells, the headers {width}",
                where=f"line {line}",
                remedy="a cell holds the delimiter and is not quoted; export the table again",
            )
    return [(line, [*cells, *[""] * (width - len(cells))][:width]) for line, cells in rows]
