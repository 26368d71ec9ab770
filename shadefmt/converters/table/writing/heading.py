"""The columns of a table to be written: where the mapping puts them, and what stands above them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from shadefmt.converters.table.header import Header, normal
from shadefmt.errors import WrongUse
from shadefmt.limits import MAX_TABLE_COLUMNS
from shadefmt.model.table_mapping import ColumnChoice, TableMapping

KEYS: Final = ("case_key", "instrument_key", "session_key", "specimen_key")


def heading_of(mapping: TableMapping, waves: Mapping[int, Sequence[str]]) -> tuple[list[str], Header]:
    """Return header texts as they are written, and the columns as the reader will see them.

    Columns stand where their number says, the others in the order of the mapping in the places that are left.
    `waves` are the wavelengths of the spectra that are mapped by a pattern, by place in the mapping.

    Raises:
        WrongUse: a column number beyond what a table may have.
    """
    choices = list(_choices(mapping, waves))
    names: dict[int, str] = {}
    for choice in choices:
        if choice.column_number is not None:
            if choice.column_number > MAX_TABLE_COLUMNS:
                raise WrongUse(f"the mapping has a column number {choice.column_number}: {MAX_TABLE_COLUMNS} at most")
            names[choice.column_number - 1] = choice.column or names.get(choice.column_number - 1, "")
    known = {normal(name) for name in names.values()}
    free = (place for place in range(len(names) + len(choices)) if place not in names)
    for choice in choices:
        if choice.column_number is None and choice.column is not None and normal(choice.column) not in known:
            known.add(normal(choice.column))
            names[next(free)] = choice.column
    width = max(names, default=-1) + 1
    texts = [names.get(place, "") for place in range(width)]
    line = mapping.layout.header_line if mapping.layout else None
    return texts, Header(texts if line else None, width, line or 1)


def _choices(mapping: TableMapping, waves: Mapping[int, Sequence[str]]) -> Iterator[ColumnChoice]:
    for key in KEYS:
        yield from getattr(mapping, key) or ()
    yield from mapping.columns or ()
    for place, spectrum in enumerate(mapping.spectra or ()):
        yield from spectrum.bands or ()
        for wave in waves.get(place, ()):
            name = f"{spectrum.header_prefix or ''}{wave}{spectrum.header_suffix or ''}"
            yield ColumnChoice(column=name)
