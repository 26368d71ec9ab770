"""What the caller of the reader states about a file because the file cannot."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, get_args

from shadefmt.converters.stating import WORDS
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.base import EntryId
from shadefmt.teeth import iso_of
from shadefmt.vocabulary import (
    InstrumentKind,
    SpecimenKind,
    SpectralQuantity,
    TableEncoding,
    ToothNotation,
)

_TEXTS: Final[Mapping[str, int]] = {"region": 4000, "group": 200}
_IDS: Final = ("id", "specimen_id")
_ID: Final = re.compile(get_args(EntryId)[1].pattern)
_MAX_ID: Final = 80

FIELD_MEMBERS: Final = (*WORDS, "tooth", *_TEXTS, *_IDS)
"""What a field may be mapped to: words of the vocabulary, a tooth, text, or an id of an entry.

`specimen` is the kind of specimen. Rows with the same `group` or `specimen_id` (else with the same kind and tooth)
are readings of one specimen. Rows with the same `id` are one reading, its colours in several tables.
"""

OWN_FIELDS: Final[Mapping[str, str]] = {
    "id": "SAMPLE_ID",
    "specimen_id": "SAMPLE_NAME",
    "specimen": "SPECIMEN_KIND",
    "tooth": "TOOTH",
    "zone": "ZONE",
    "column": "ZONE_COLUMN",
    "region": "ZONE_REGION",
    "role": "READING_ROLE",
}
"""Fields of the files that `write_cgats` makes; their teeth are in the notation `iso-3950`."""


@dataclass(frozen=True)
class Options:
    """Arguments of the reader, checked."""

    percent: bool | None = None
    decimal_comma: bool = False
    fields: Mapping[str, str] = field(default_factory=dict)
    notation: ToothNotation | None = None
    specimen_kind: SpecimenKind = "material-disc"
    instrument_kind: InstrumentKind | None = None
    quantity: SpectralQuantity | None = None
    encoding: TableEncoding | None = None

    def __post_init__(self) -> None:
        for member in self.fields:
            if member not in FIELD_MEMBERS:
                raise WrongUse(f"no field can be read as {member!r}; there are {', '.join(FIELD_MEMBERS)}")
        if len({name.upper() for name in self.fields.values()}) != len(self.fields):
            raise WrongUse("one field is to be read as two members")
        if {"group", "specimen_id"} <= set(self.fields):
            raise WrongUse("both group and specimen_id say which rows are of one specimen: name one of them")
        if "tooth" in self.fields and self.notation is None:
            raise WrongUse("a field is to be read as tooth: state its notation, it is never guessed")
        _demand("notation", self.notation, ToothNotation, optional=True)
        _demand("kind of specimen", self.specimen_kind, SpecimenKind)
        _demand("kind of instrument", self.instrument_kind, InstrumentKind, optional=True)
        _demand("spectral quantity", self.quantity, SpectralQuantity, optional=True)
        _demand("encoding", self.encoding, TableEncoding, optional=True)

    def member_of(self, name: str) -> str | None:
        """Return the member that a field is read as; capitals and small letters are the same in CGATS."""
        return next((member for member, field in self.fields.items() if field.upper() == name.upper()), None)

    def value(self, member: str, text: str, name: str, where: str) -> str:
        """Return the text of a field as the value of a member.

        Raises:
            Refused: not one of the words that the member may hold, no tooth, no id, or too long.
        """
        if member in _TEXTS:
            if len(text) > _TEXTS[member]:
                raise Refused(f"{name} is longer than {_TEXTS[member]} characters", where=where)
            return text
        word = text.strip()
        if member == "tooth" and self.notation is not None:
            try:
                return iso_of(word, self.notation)
            except Refused as fault:
                raise Refused(f"{name}: {fault.what}", where=where, remedy=fault.remedy) from None
        if member in _IDS:
            if len(word) > _MAX_ID or not _ID.fullmatch(word):
                remedy = f"Ids have up to {_MAX_ID} ASCII letters, digits, dots, hyphens and underscores"
                raise Refused(f"{name} says {word[:40]!r}, which cannot be an id", where=where, remedy=remedy)
        elif word not in get_args(WORDS[member]):
            remedy = f"Words: {', '.join(get_args(WORDS[member]))}"
            raise Refused(f"{name} says {word[:40]!r}, not a word for {member}", where=where, remedy=remedy)
        return word


def _demand(what: str, word: str | None, words: Any, *, optional: bool = False) -> None:
    if word not in get_args(words) and not (optional and word is None):
        raise WrongUse(f"{word!r} is no {what}: {', '.join(get_args(words))}")
