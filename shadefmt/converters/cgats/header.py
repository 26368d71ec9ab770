"""The header of a CGATS table: keywords in order, some many times, and the settings that stand inside their values."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from shadefmt.converters.cgats.tokens import tokens_of

_WEIGHTING: Final = ("WEIGHTINGFUNCTION", "COMPUTATIONALPARAMETER")
_BEFORE_NAME: Final = re.compile(r"[ \f\v]+(?=[A-Za-z_]+=)")
_PART: Final = re.compile(r"[A-Z]+")
_PERSONS: Final = frozenset(
    {
        *("ORIGINATOR", "OPERATOR", "USER", "AUTHOR", "CREATOR", "OWNER", "CUSTOMER", "CLIENT", "PATIENT", "PERSON"),
        *("DOCTOR", "DENTIST", "PHYSICIAN", "TECHNICIAN", "EMAIL", "PHONE", "BIRTHDATE", "BIRTHDAY", "DOB"),
    }
)
_PERSON_VALUE: Final = re.compile(r"\b(?:operator|user|author|patient|customer|client)(?:name)?\s*[=:]", re.IGNORECASE)
_SERIAL_VALUE: Final = re.compile(r"\bserial|\bs/n\b|\bsn[ =:#]", re.IGNORECASE)


class Withheld(NamedTuple):
    """Why something is not carried into a case, which names nobody."""

    code: str
    reason: str


@dataclass(frozen=True)
class Entry:
    """One line of a header: keyword as written, value without the quotes around it, line number.

    The keyword is empty where a line begins with something else, as some programs write them.
    """

    keyword: str
    value: str
    line: int

    @property
    def path(self) -> str:
        """Path of the keyword in the account."""
        return f"header/{self.keyword.upper() or '(no keyword)'}"


class Setting(NamedTuple):
    """A value that a header states: name in capitals without underscores and blanks, text, where it stands.

    `group` holds the names of all settings of the same entry.
    """

    name: str
    text: str
    entry: Entry
    group: frozenset[str]


@dataclass
class Header:
    """All entries before a table, the comments among them, and the identifier of the file if it has one."""

    identifier: str = ""
    entries: list[Entry] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)

    def settings(self) -> list[Setting]:
        """Return what the entries state, also inside their values (`Aperture=6`, `ILLUMINANT, D50`)."""
        return [setting for entry in self.entries for setting in _settings_of(entry)]


def name_of(keyword: str) -> str:
    """Return a keyword in the form in which settings are named."""
    return keyword.upper().replace("_", "").replace(" ", "")


def named(settings: Iterable[Setting], *names: str) -> list[Setting]:
    """Return the settings of these names, in order."""
    return [setting for setting in settings if setting.name in names]


def withheld(keyword: str, value: str = "") -> Withheld | None:
    """Return why a keyword or field is left out of a case, or None where it is not."""
    parts = set(_PART.findall(keyword.upper()))
    if parts & _PERSONS or _PERSON_VALUE.search(value):
        return Withheld("may-name-a-person", "may name a person, and a case names none")
    if any("SERIAL" in part for part in parts) or _SERIAL_VALUE.search(value):
        return Withheld("serial-number", "a serial number can lead to a person; instruments have opaque ids")
    return None


def _settings_of(entry: Entry) -> Iterator[Setting]:
    name = name_of(entry.keyword)
    pairs = list(_weighting(entry.value)) if name in _WEIGHTING else list(_inner(entry.value))
    group = frozenset(inner for inner, _ in pairs)
    yield Setting(name, entry.value.strip(), entry, frozenset())
    for inner, text in pairs:
        yield Setting(inner, text, entry, group)


def _inner(value: str) -> Iterator[tuple[str, str]]:
    """Settings such as `Illumination=D65` in a value, parted by tabs, commas or semicolons, several also by blanks."""
    for part in re.split(r"[\t,;]", value):
        for pair in _BEFORE_NAME.split(part) if part.count("=") > 1 else [part]:
            name, equals, text = pair.partition("=")
            if equals and name.strip() and text.strip():
                yield name_of(name.strip()), text.strip()


def _weighting(value: str) -> Iterator[tuple[str, str]]:
    """Parameters such as `OBSERVER, 2 degree`; several are parted by semicolons or stand in strings of their own."""
    texts = tokens_of(value).values if value.startswith('"') else [value]
    if len(texts) == 2 and not any(mark in text for text in texts for mark in ",;="):
        texts = [", ".join(texts)]
    for part in ";".join(texts).split(";"):
        name, _, rest = part.strip().replace("=", ",", 1).partition(",")
        if rest.strip():
            yield name_of(name.strip()), rest.strip()
