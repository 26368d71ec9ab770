"""What the caller of the reader states about a file because the file cannot."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, get_args

from shadefmt.converters.stating import WORDS
from shadefmt.errors import Refused, WrongUse
from shadefmt.vocabulary import (
    InstrumentKind,
    SpecimenKind,
)

_TEXTS: Final = ("region", "group")
TAG_MEMBERS: Final = (*WORDS, "tooth", *_TEXTS)
"""What a tag may be mapped to: words of the vocabulary, an ISO 3950 tooth, or text.

`specimen` is the kind of specimen; objects with the same `group` (or else with the same kind and tooth) are
readings of one specimen.
"""
TEETH: Final = frozenset(q + t for q in "1234" for t in "12345678") | frozenset(q + t for q in "5678" for t in "12345")
"""Two-digit tooth designations of ISO 3950."""


@dataclass(frozen=True)
class Options:
    """Arguments of the reader, checked."""

    percent: bool = False
    decimal_comma: bool = False
    tags: Mapping[str, str] = field(default_factory=dict)
    notation: str | None = None
    specimen_kind: SpecimenKind = "material-disc"
    instrument_kind: InstrumentKind | None = None
    own_tags: bool = False

    def __post_init__(self) -> None:
        for member in self.tags:
            if member not in TAG_MEMBERS:
                raise WrongUse(f"no tag can be read as {member!r}; there are {', '.join(TAG_MEMBERS)}")
        if len(set(self.tags.values())) != len(self.tags):
            raise WrongUse("one tag is to be read as two members")
        if self.notation not in (None, "iso-3950"):
            raise WrongUse(f"teeth are read in the notation 'iso-3950' only, not {self.notation!r}")
        if "tooth" in self.tags and self.notation is None:
            raise WrongUse("a tag is to be read as tooth: state its notation ('iso-3950'), it is never guessed")
        if self.specimen_kind not in get_args(SpecimenKind):
            raise WrongUse(f"{self.specimen_kind!r} is no kind of specimen: {_listed(SpecimenKind)}")
        if self.instrument_kind not in (None, *get_args(InstrumentKind)):
            raise WrongUse(f"{self.instrument_kind!r} is no kind of instrument: {_listed(InstrumentKind)}")

    def by_tag(self) -> dict[str, str]:
        """Return the member by name of the tag that is read as it."""
        return {tag: member for member, tag in self.tags.items()}


def member_value(member: str, text: str, tag: str, where: str) -> str:
    """Return the text of a tag as the value of a member.

    Raises:
        Refused: not one of the words that the member may hold.
    """
    value = text.strip()
    if member == "tooth":
        if value not in TEETH:
            raise Refused(
                f"the tag {tag} says {value[:40]!r}, which is no tooth of ISO 3950",
                where=where,
                remedy="Two digits: quadrant 1-4 and tooth 1-8, or quadrant 5-8 and tooth 1-5",
            )
    elif member in _TEXTS:
        if len(value) > 200:
            raise Refused(f"the tag {tag} is longer than 200 characters", where=where)
    elif value not in get_args(WORDS[member]):
        words = _listed(WORDS[member])
        raise Refused(
            f"the tag {tag} says {value[:40]!r}, not a word for {member}",
            where=where,
            remedy=f"Words: {words}",
        )
    return value


def _listed(words: Any) -> str:
    return ", ".join(get_args(words))
