"""What one header says: a member, a coordinate, a wavelength, with zone, repeat, illuminant and observer beside it."""

import re
from dataclasses import dataclass
from typing import Final

from shadefmt.converters.proposing.words import (
    AROUND,
    CASES,
    CELLS,
    HEADERS,
    NAMES,
    PERSONS,
    REFLECTANCE,
    SPECTRAL,
    TRANSMITTANCE,
    VALUES,
    plain,
)
from shadefmt.vocabulary import TableMember

_ILLUMINANT: Final = re.compile(r"(?<![A-Za-z0-9])(D50|D55|D65|D75)(?![0-9])")
_OBSERVER: Final = re.compile(
    r"(?<![0-9])(2|10)[ ]?(?:°|deg(?:ree|rees)?\b|grad\b|Grad\b)|D[5-7][05][/ _-](2|10)(?![0-9])"
)
_BAND: Final = re.compile(r"(.*?)(?<![0-9])([3-9][0-9]{2}|1[0-9]{3})((?:[.,][0-9]+)?)(?![0-9])(.*)", re.DOTALL)
_COORDINATES: Final = {
    **{letter: f"lab.{letter if letter != 'l' else 'L'}" for letter in "lab"},
    **{letter: f"xyz.{letter.upper()}" for letter in "xyz"},
}


@dataclass(frozen=True)
class Heading:
    """What a header says. `zone`, `repeat`, `illuminant`, `observer` are empty where it says nothing of them."""

    text: str
    coordinate: str = ""
    member: TableMember | None = None
    whole: bool = False
    wavelength: str = ""
    before: str = ""
    after: str = ""
    zone: str = ""
    repeat: str = ""
    illuminant: str = ""
    observer: str = ""
    words: frozenset[str] = frozenset()


def heading(text: str) -> Heading:
    """Return what a header says."""
    illuminant, observer = _ILLUMINANT.search(text), _OBSERVER.search(text)
    bare = _OBSERVER.sub(" ", _ILLUMINANT.sub(" ", text))
    zone, words = _zone(plain(bare))
    said = {
        "illuminant": illuminant[1] if illuminant else "",
        "observer": f"{observer[1] or observer[2]}-degree" if observer else "",
        "zone": zone,
        "words": frozenset(words),
    }
    band = _band(text)
    if band is not None:
        return Heading(text, wavelength=band[1], before=band[0], after=band[2], **said)  # type: ignore[arg-type]
    letters = [word for word in words if word not in AROUND and not word.isdigit()]
    digits = [word for word in words if word.isdigit()]
    if len(letters) == 1 and letters[0] in _COORDINATES and len(digits) < 2:
        repeat = digits[0] if digits else ""
        return Heading(text, coordinate=_COORDINATES[letters[0]], repeat=repeat, **said)  # type: ignore[arg-type]
    member, whole = _member(plain(text))
    return Heading(text, member=member, whole=whole, **said)  # type: ignore[arg-type]


def recognised(text: str) -> bool:
    """Whether a text is likely a header."""
    found = heading(text)
    if found.wavelength:
        return bool(found.before.strip() or found.after.strip()) or text.strip().isdigit()
    known = PERSONS | CASES | NAMES | VALUES
    return bool(found.coordinate or found.member or known.intersection(found.words))


def zone_of(text: str) -> str:
    """Return the zone that a text names, alone or among other words."""
    return _zone(plain(text))[0]


def _zone(words: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """The zone among words, and the words without it; the longest phrase counts."""
    phrases = ((value, phrase) for value, known in CELLS["reading.zone"].items() for phrase in known)
    for value, phrase in sorted(phrases, key=lambda each: -len(each[1])):
        size = len(phrase)
        for start in range(len(words) - size + 1):
            if words[start : start + size] == phrase:
                return value, words[:start] + words[start + size :]
    return "", words


def _member(words: tuple[str, ...]) -> tuple[TableMember | None, bool]:
    """The member whose phrase is the header, or part of it; and whether it is all of it."""
    if PERSONS.intersection(words):
        return None, False
    for member, phrases in HEADERS.items():
        if words in phrases:
            return member, True
    for member, phrases in HEADERS.items():
        if any(phrase[0] in words and set(phrase) <= set(words) for phrase in phrases if len(phrase[0]) > 3):
            return member, False
    return None, False


def _band(text: str) -> tuple[str, str, str] | None:
    """What stands before a wavelength, the wavelength, and what stands after it."""
    found = _BAND.fullmatch(text.strip())
    if found is None:
        return None
    before, whole, fraction, after = found.groups()
    around = {word for word in (*plain(before), *plain(after)) if not word.isdigit()}
    zones = {word for known in CELLS["reading.zone"].values() for phrase in known for word in phrase}
    if around - SPECTRAL - REFLECTANCE - TRANSMITTANCE - zones or not 300 <= int(whole) <= 1100:
        return None
    return before, whole + fraction, after
