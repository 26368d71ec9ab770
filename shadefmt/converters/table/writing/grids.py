"""Which wavelengths the headers of a spectrum name that is mapped by a pattern: those of the first such spectrum."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from shadefmt.converters.table.header import is_wavelength
from shadefmt.converters.table.plan import constants_of
from shadefmt.converters.table.writing.sources import Sources, Value, wavelengths
from shadefmt.errors import Refused
from shadefmt.model.table_mapping import MappedSpectrum, TableMapping


def pattern_waves(mapping: TableMapping, cases: Iterable[Value]) -> dict[int, list[str]]:
    """Return wavelengths as headers write them, by place of the spectrum in the mapping.

    Raises:
        Refused: no reading has such a spectrum; the mapping could not read a table without its columns.
    """
    wanted = {place: each for place, each in enumerate(mapping.spectra or ()) if each.bands is None}
    found: dict[int, list[str]] = {}
    for case in cases if wanted else ():
        if len(found) == len(wanted):
            break
        for place, spectrum in wanted.items():
            waves = None if place in found else _first(mapping, spectrum, case)
            if waves is not None:
                found[place] = waves
    for place in wanted:
        if place not in found:
            raise Refused(
                "no reading has a spectrum from which the headers of its columns could be made",
                where=f"/spectra/{place} of the mapping",
                remedy="list its bands in the mapping, or use a mapping without a spectrum",
            )
    return found


def _first(mapping: TableMapping, spectrum: MappedSpectrum, case: Value) -> list[str] | None:
    groups = [group for group in mapping.groups or () if group.name == spectrum.group]
    constants = constants_of([each for group in groups for each in group.constants or ()])
    for source in Sources(case).all():
        block = source.reading.get("spectrum")
        if block is None or block["quantity"] != spectrum.quantity or not source.agrees(constants):
            continue
        texts = _texts(wavelengths(block) or ())
        if texts:
            return texts
    return None


def _texts(waves: Sequence[Decimal]) -> list[str] | None:
    """The wavelengths as headers write them, None where they cannot."""
    texts = [_short(wave) for wave in waves]
    return texts if all(map(is_wavelength, texts)) else None


def _short(wave: Decimal) -> str:
    text = f"{wave:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
