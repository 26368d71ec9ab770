"""Which columns hold coordinates and spectra, of which colour, zone and repeat."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final, get_args

from shadefmt.converters.proposing.draft import Draft
from shadefmt.converters.proposing.headers import Heading, zone_of
from shadefmt.converters.proposing.words import PERCENT, REFLECTANCE, TRANSMITTANCE, plain
from shadefmt.vocabulary import Illuminant, Observer, Origin, SpectralQuantity, SpectralScale

LEAST_BANDS: Final = 3
_LARGEST_FACTOR: Final = 1.5
"""Greatest value of a table of factors; fluorescent samples come near it (computed, no source)."""
_LEAST_PERCENT: Final = 3.0
"""A greatest value above this is a percentage: no factor is that large."""

Set = tuple[str, str]
"""Zone and repeat of a reading of a row; both empty where the row is one reading."""


@dataclass
class Measures:
    """Finds coordinates and bands; `over` is the line above the headers, which may name zones over several columns."""

    draft: Draft
    over: Sequence[str]
    _blocks: list[str] = field(init=False)
    _sets: dict[Set, str] = field(init=False, default_factory=dict)

    def find(self) -> None:
        """Draft colours, spectra and groups."""
        self._blocks = self._zones_above()
        coordinates, bands = self._coordinates(), self._bands()
        sets = list(dict.fromkeys([*(key[0] for key in coordinates), *(key[0] for key in bands)]))
        if len(sets) > 1 or (sets and sets[0][0]):
            self._group(sets)
        self._colours(coordinates)
        for (mine, before, after), indexes in bands.items():
            self._spectrum(mine, before, after, indexes)
        if not coordinates and not bands:
            question = "No column was recognised as coordinate or band: which columns hold the colour?"
            self.draft.ask("/columns", question)

    def _zones_above(self) -> list[str]:
        """The zone that the line above names over each column: a name holds until the next."""
        zone, blocks = "", []
        for index in range(len(self.draft.headers)):
            text = self.over[index].strip() if index < len(self.over) else ""
            zone = zone_of(text) if text else zone
            blocks.append(zone)
        return blocks

    def _set(self, index: int) -> Set:
        heading = self.draft.headings[index]
        return heading.zone or self._blocks[index], heading.repeat

    def _coordinates(self) -> dict[tuple[Set, str, str], dict[str, int]]:
        """Columns of coordinates by set, illuminant and observer; a letter alone counts only with its fellows."""
        found: dict[tuple[Set, str, str], dict[str, int]] = {}
        again: dict[Any, int] = {}
        for index, heading in enumerate(self.draft.headings):
            if not heading.coordinate or not self.draft.looks[index].numeric:
                continue
            zone, repeat = self._set(index)
            basis = heading.illuminant, heading.observer
            times = again[zone, repeat, basis, heading.coordinate] = (
                again.get((zone, repeat, basis, heading.coordinate), 0) + 1
            )
            key = (zone, f"{repeat or 1}-{times}" if times > 1 else repeat), *basis
            found.setdefault(key, {})[heading.coordinate] = index
        return {key: _whole(letters) for key, letters in found.items() if _whole(letters)}

    def _bands(self) -> dict[tuple[Set, str, str], list[int]]:
        found: dict[tuple[Set, str, str], list[int]] = {}
        for index, heading in enumerate(self.draft.headings):
            if heading.wavelength and self.draft.looks[index].numeric:
                found.setdefault(((self._set(index)[0], ""), heading.before, heading.after), []).append(index)
        return {key: indexes for key, indexes in found.items() if len(indexes) >= LEAST_BANDS and self._rise(indexes)}

    def _rise(self, indexes: Sequence[int]) -> bool:
        waves = [float(self.draft.headings[index].wavelength.replace(",", ".")) for index in indexes]
        return len(set(waves)) == len(waves) and (sorted(waves) == waves or sorted(waves) == waves[::-1])

    def _group(self, sets: Sequence[Set]) -> None:
        for number, (zone, repeat) in enumerate(sets, 1):
            name = "-".join(filter(None, (zone, repeat))) or f"reading-{number}"
            self._sets[zone, repeat] = name
            constants = {"constants": [{"member": "reading.zone", "value": zone}]} if zone else {}
            self.draft.groups.append({"name": name, **constants})

    def _grouped(self, mine: Set) -> dict[str, str]:
        return {"group": self._sets[mine]} if self._sets else {}

    def _colours(self, coordinates: dict[tuple[Set, str, str], dict[str, int]]) -> None:
        bases = list(dict.fromkeys((illuminant, observer) for _, illuminant, observer in coordinates))
        names = {basis: "-".join(filter(None, basis)) or f"colour-{n}" for n, basis in enumerate(bases, 1)}
        for place, basis in enumerate(bases):
            stated = {name: value for name, value in zip(("illuminant", "observer"), basis, strict=True) if value}
            self.draft.colours.append({"name": names[basis], **stated})
            self._ask_basis(place, stated)
        for (mine, illuminant, observer), letters in coordinates.items():
            more = self._grouped(mine) | ({"colour": names[illuminant, observer]} if len(bases) > 1 else {})
            scale = self._xyz_scale([index for letter, index in letters.items() if letter.startswith("xyz")])
            for letter, index in letters.items():
                member = f"reading.colour.{letter}"
                unit = {"unit": scale} if scale and letter.startswith("xyz") else {}
                self.draft.add(index, member, **unit, **more)
                heading = self.draft.headings[index]
                self.draft.say(index, _sureness(heading), _reason(heading), member=member)

    def _ask_basis(self, place: int, stated: dict[str, str]) -> None:
        columns = {each["member"] for each in self.draft.labelled}
        columns |= {
            heading.member for index, heading in enumerate(self.draft.headings) if self.draft.looks[index].texts
        }
        for name, words in (("illuminant", Illuminant), ("observer", Observer), ("origin", Origin)):
            if name not in stated and f"reading.colour.{name}" not in columns:
                question = f"Which {name} do the coordinates have? The table does not say, and it is never guessed."
                self.draft.ask(f"/colours/{place}/{name}", question, get_args(words))

    def _xyz_scale(self, indexes: Sequence[int]) -> str:
        """The unit of tristimulus values: a table whose greatest is at most 1.5 has factors; else the usual."""
        values = [number for index in indexes for number in self.draft.looks[index].numbers]
        if not values:
            return ""
        most = max(values)
        if _LARGEST_FACTOR < most <= _LEAST_PERCENT:
            question = f"Are X, Y, Z factors or percentages? Their greatest value is {most:g}."
            self.draft.ask("/columns", question, get_args(SpectralScale))
        return "factor" if most <= _LARGEST_FACTOR else "percent"

    def _spectrum(self, mine: Set, before: str, after: str, indexes: Sequence[int]) -> None:
        place = f"/spectra/{len(self.draft.spectra)}"
        words = frozenset(plain(f"{before} {after}"))
        values = [number for index in indexes for number in self.draft.looks[index].numbers]
        spectrum: dict[str, Any] = {}
        if words & REFLECTANCE and not words & TRANSMITTANCE:
            spectrum["quantity"] = "reflectance-factor"
        elif words & TRANSMITTANCE:
            spectrum["quantity"] = "transmittance-factor"
        else:
            self.draft.ask(f"{place}/quantity", "What do the bands hold?", get_args(SpectralQuantity))
        unit, why = self._scale(words, f"{before}{after}", indexes, max(values))
        if unit:
            spectrum["unit"] = unit
        else:
            self.draft.ask(f"{place}/unit", f"Factor or percent? {why}", get_args(SpectralScale))
        spectrum |= self._columns_of(before, after, indexes)
        self.draft.spectra.append(spectrum | self._grouped(mine))
        for index in indexes:
            reason = f"The header names the wavelength {self.draft.headings[index].wavelength} nm. {why}"
            self.draft.say(index, "certain" if words else "likely", reason)

    def _scale(self, words: frozenset[str], text: str, indexes: Sequence[int], most: float) -> tuple[str, str]:
        """The scale of a spectrum, empty where both fit, and what speaks for it."""
        said = bool(words & PERCENT or "%" in text or any(self.draft.looks[index].percent_signs for index in indexes))
        seen = f"The greatest value is {most:g}"
        if said or most > _LEAST_PERCENT:
            if said and most <= _LARGEST_FACTOR:
                return "", f"{seen}, but percent is said."
            return "percent", f"{seen}{', and percent is said' if said else ': no factor is that large'}."
        if most <= _LARGEST_FACTOR and most > 0.03:
            return "factor", f"{seen}: as a percentage it would be black."
        return "", f"{seen}: both fit."

    def _columns_of(self, before: str, after: str, indexes: Sequence[int]) -> dict[str, Any]:
        """The pattern of the headers where it means these columns and no others, else the columns one by one."""
        alike = [
            index
            for index, text in enumerate(self.draft.headers)
            if (found := self.draft.headings[index]).wavelength
            and text.startswith(before.strip())
            and text.endswith(after.strip())
            and (found.before.strip(), found.after.strip()) != (before.strip(), after.strip())
        ]
        pattern = {"header_prefix": before.strip(), "header_suffix": after.strip()}
        if any(pattern.values()) and not alike and not self._blocks_differ():
            return {name: text for name, text in pattern.items() if text}
        return {
            "bands": [
                {
                    **self.draft.choice(index),
                    "wavelength_nm": float(self.draft.headings[index].wavelength.replace(",", ".")),
                }
                for index in indexes
            ]
        }

    def _blocks_differ(self) -> bool:
        return any(before != after for before, after in pairwise(self._blocks))


def _whole(letters: dict[str, int]) -> dict[str, int]:
    """Coordinates of the spaces that are whole."""
    kept: dict[str, int] = {}
    for space, names in (("lab", "Lab"), ("xyz", "XYZ")):
        mine = {f"{space}.{name}": letters[f"{space}.{name}"] for name in names if f"{space}.{name}" in letters}
        kept |= mine if len(mine) == len(names) else {}
    return kept


def _sureness(heading: Heading) -> Any:
    return "certain" if "*" in heading.text or len(heading.words & {"lab", "cielab", "xyz", "cie"}) else "likely"


def _reason(heading: Heading) -> str:
    more = [each for each in (heading.zone, heading.illuminant, heading.observer) if each]
    beside = f", and beside it {', '.join(more)}" if more else ""
    return f"The header names a coordinate{beside}; its fellows are there and the cells are numbers."
