"""What an `Object` holds, as read and not yet linked to specifications."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from shadefmt.vocabulary import SpectralQuantity

ColourMember = Literal["lab", "xyz"]


@dataclass(slots=True)
class SpectrumPart:
    """One spectrum. `start_nm` and `step_nm` are those written on it.

    `quantity` is None for a custom spectrum, whose kind and account (`paths`) the specification decides.
    `texts` are attributes by path that are kept as written because no member could hold them.
    """

    quantity: SpectralQuantity | None
    specification: str
    name: str
    measured: str
    values: list[float]
    decimals: int
    start_nm: float | None = None
    step_nm: float | None = None
    wavelengths_nm: list[float] | None = None
    paths: tuple[str, ...] = ()
    texts: dict[str, str] | None = None


class ColourPart(NamedTuple):
    """One colour in the coordinates of the format. `texts` are the source's own where it had other coordinates.

    `cut` holds by place the texts of coordinates that lost digits.
    """

    kind: str
    specification: str
    name: str
    member: ColourMember
    numbers: tuple[float, float, float]
    decimals: int
    cut: Mapping[int, str]
    paths: tuple[str, ...]
    texts: dict[str, str] | None = None


@dataclass(slots=True)
class ObjectRecord:
    """One `Object`: identity, dates, tags, measurements, and what goes aside into the extension.

    `own` are the tags of our own by name, where they are to be read.
    """

    where: str
    attributes: dict[str, str]
    created: str = ""
    comment: str = ""
    tags: list[tuple[str, str, str]] = field(default_factory=list)
    members: dict[str, str] = field(default_factory=dict)
    own: dict[str, str] = field(default_factory=dict)
    spectra: list[SpectrumPart] = field(default_factory=list)
    colours: list[ColourPart] = field(default_factory=list)
    other: dict[str, Any] = field(default_factory=dict)
