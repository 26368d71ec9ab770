"""What the fields of one table are: spectra, colours, members that the caller named, and the rest."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from shadefmt.converters.cgats.header import Withheld, withheld
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.options import Options
from shadefmt.converters.cgats.sections import Table
from shadefmt.converters.cgats.wavelengths import GridHeader, SpectralName, grid_of, spectral_name
from shadefmt.errors import Refused
from shadefmt.vocabulary import SpectralQuantity

COLOURS: Final[Mapping[str, tuple[str, str, str]]] = {
    "lab": ("LAB_L", "LAB_A", "LAB_B"),
    "lch": ("LAB_L", "LAB_C", "LAB_H"),
    "xyz": ("XYZ_X", "XYZ_Y", "XYZ_Z"),
    "xyy": ("XYY_X", "XYY_Y", "XYY_CAPY"),
}
"""Fields of the colours that a case has members for."""

_PAIR: Final = "SPECTRAL_NM"
_PAIRED: Final = {"SPECTRAL_PCT": True, "SPECTRAL_DEC": False}
_KNOWN: Final = frozenset(name for names in COLOURS.values() for name in names)


@dataclass(frozen=True)
class SpectralFields:
    """The fields of one spectrum a row, in order of wavelength.

    `waves` are fields that hold wavelengths, one before each value; without them `grid` holds for all rows.
    `percent` and `quantity` are what the names state.
    """

    values: tuple[int, ...]
    path: str
    grid: dict[str, Any] = field(default_factory=dict)
    waves: tuple[int, ...] = ()
    percent: bool | None = None
    quantity: SpectralQuantity | None = None


@dataclass(frozen=True)
class Columns:
    """The fields of a table by what they are, as places in its rows."""

    names: tuple[str, ...]
    spectrum: SpectralFields | None
    colours: Mapping[str, tuple[int, int, int]]
    members: Mapping[str, int]
    rest: Mapping[int, str]
    left_out: Mapping[int, Withheld]

    @property
    def measures(self) -> bool:
        """Whether rows can hold a spectrum or a colour."""
        return self.spectrum is not None or bool(self.colours)

    def without_spectrum(self) -> "Columns":
        """Return the same with the spectral fields among the rest."""
        if self.spectrum is None:
            return self
        places = {*self.spectrum.values, *self.spectrum.waves, *self.rest}
        rest = _distinct({place: self.names[place] for place in sorted(places)})
        return replace(self, spectrum=None, rest=rest)


def columns_of(table: Table, grid: GridHeader, options: Options, ledger: Ledger) -> Columns:
    """Return what the fields of a table are.

    Raises:
        Refused: a colour, a member or a wavelength is there twice, or wavelengths contradict the header.
    """
    names = [name.strip() for name in table.fields]
    where = f"line {table.line}"
    members = _members(names, options, where)
    free = [place for place in range(len(names)) if place not in members.values()]
    colours = _colours(names, free, ledger, where)
    spectrum = _pairs(names, free, where) or _named(names, free, grid, options, ledger, where)
    used = set(members.values()).union(*colours.values())
    if spectrum is not None:
        used |= {*spectrum.values, *spectrum.waves}
    rest = {place: names[place] for place in free if place not in used}
    left_out = {place: reason for place, name in rest.items() if (reason := withheld(name))}
    kept = {place: name for place, name in rest.items() if place not in left_out}
    return Columns(tuple(names), spectrum, colours, members, _distinct(kept), left_out)


def _members(names: Sequence[str], options: Options, where: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for place, name in enumerate(names):
        member = options.member_of(name)
        if member is None:
            continue
        if member in found:
            raise Refused(f"the field {name} is there twice", where=where, remedy="Have it there once")
        found[member] = place
    return found


def _colours(names: Sequence[str], free: list[int], ledger: Ledger, where: str) -> dict[str, tuple[int, int, int]]:
    places: dict[str, int] = {}
    for place in free:
        key = names[place].upper().replace(" ", "_")
        if key in _KNOWN and key in places:
            raise Refused(f"the field {names[place]} is there twice", where=where, remedy="Have it there once")
        places[key] = place
    found = {
        kind: (places[fields[0]], places[fields[1]], places[fields[2]])
        for kind, fields in COLOURS.items()
        if all(name in places for name in fields)
    }
    for kind, better in (("lch", "lab"), ("xyy", "xyz")):
        if better in found:
            found.pop(kind, None)
    whole = {name for kind in found for name in COLOURS[kind]}
    for fields in COLOURS.values():
        missing = [name for name in fields if name not in places]
        if missing and len(missing) < 3 and not whole & set(fields):
            ledger.notice(
                "colour-without-field",
                where,
                f"fields of a colour are there without {', '.join(missing)}; they were kept as texts",
                "Have all three coordinates exported",
            )
    return found


def _pairs(names: Sequence[str], free: list[int], where: str) -> SpectralFields | None:
    """Fields that take turns: a wavelength, the value there."""
    waves = [place for place in free if names[place].upper() == _PAIR]
    if not waves:
        return None
    values = tuple(place + 1 for place in waves)
    kinds = {names[place].upper() if place in free else "" for place in values if place < len(names)}
    if len(kinds) != 1 or not kinds <= set(_PAIRED) or values[-1] >= len(names) or len(values) < 2:
        raise Refused(
            f"after each {_PAIR} there has to be {' or '.join(_PAIRED)}, one of them throughout, twice or more",
            where=where,
            remedy="Have the spectra written as pairs of wavelength and value, or with wavelengths in the field names",
        )
    kind = kinds.pop()
    return SpectralFields(values, f"fields/{kind}", waves=tuple(waves), percent=_PAIRED[kind])


def _named(
    names: Sequence[str], free: list[int], grid: GridHeader, options: Options, ledger: Ledger, where: str
) -> SpectralFields | None:
    """Fields with a wavelength in their name, all spelled alike."""
    families: dict[str, list[tuple[SpectralName, int]]] = {}
    for place in free:
        found = spectral_name(names[place], comma=options.decimal_comma)
        if found is not None:
            families.setdefault(found.family, []).append((found, place))
    spectra = [family for family in families.values() if len(family) > 1]
    if not spectra:
        return None
    if len(spectra) > 1:
        message = "rows hold more than one spectrum; the first was read, the others were kept as texts"
        ledger.notice("further-spectra", where, message, "Export one spectrum a row")
    family = sorted(spectra[0], key=_by_wavelength)
    if family != spectra[0]:
        message = "spectral fields were put in order of wavelength"
        ledger.notice("fields-reordered", where, message, "Nothing; no number was changed")
    first = family[0][0]
    return SpectralFields(
        tuple(place for _, place in family),
        f"fields/{first.family}",
        grid_of([name.wavelength for name, _ in family], grid, ledger, where),
        percent=first.percent,
        quantity=first.quantity,
    )


def _by_wavelength(member: tuple[SpectralName, int]) -> Any:
    return member[0].wavelength


def _distinct(names: Mapping[int, str]) -> dict[int, str]:
    """The names with a number behind those that come again, so that they can be members of one object."""
    taken, times = set(names.values()), Counter[str]()
    made: dict[int, str] = {}
    for place, name in names.items():
        times[name] += 1
        unique = name or "(no name)"
        while times[name] > 1 and (unique := f"{name}[{times[name]}]") in taken:
            times[name] += 1
        taken.add(unique)
        made[place] = unique
    return made
