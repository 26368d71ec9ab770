"""What a tag or field of a foreign file may say of a reading: the members that it fills, and their words."""

from collections.abc import Mapping
from typing import Any, Final

from shadefmt.vocabulary import (
    Backing,
    Column,
    Hydration,
    Isolation,
    ReadingRole,
    SpecimenKind,
    Substrate,
    Support,
    WorkState,
    Zone,
)

SPECIMEN_MEMBERS: Final = ("tooth", "substrate", "support")
READING_MEMBERS: Final = ("zone", "column", "region", "role", "state", "backing", "hydration", "isolation")

WORDS: Final[Mapping[str, Any]] = {
    "specimen": SpecimenKind,
    "substrate": Substrate,
    "support": Support,
    "zone": Zone,
    "column": Column,
    "role": ReadingRole,
    "state": WorkState,
    "backing": Backing,
    "hydration": Hydration,
    "isolation": Isolation,
}
