"""The CIE tables at 1 nm: colour matching functions and illuminants, read from package data without numpy."""

import pkgutil
from dataclasses import dataclass
from functools import lru_cache

from shadefmt.errors import WrongUse

ILLUMINANTS = ("A", "C", "D50", "D55", "D65", "D75", "FL2", "FL7", "FL11", "LED-B3")
"""Names of the illuminants, spelled as CIE 15:2018 spells them."""

OBSERVERS = ("2-degree", "10-degree")
"""CIE 1931 (2 degree) and CIE 1964 (10 degree) standard colorimetric observers, ISO/CIE 11664-1."""


@dataclass(frozen=True, slots=True)
class PowerTable:
    """Relative spectral power of an illuminant, one value per nanometre from `first_nm` on."""

    first_nm: int
    power: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class MatchingTable:
    """Colour matching functions of an observer, one value of each per nanometre from `first_nm` on."""

    first_nm: int
    x: tuple[float, ...]
    y: tuple[float, ...]
    z: tuple[float, ...]


@lru_cache(maxsize=len(ILLUMINANTS))
def illuminant_table(name: str) -> PowerTable:
    """Relative spectral power of a CIE illuminant at 1 nm within 360-830 nm.

    A and the D series cover 360-830 nm, C 360-780 nm, FL and LED 380-780 nm; outside they count as zero.
    Source and interpolation of each table: `scripts/generate_cie_tables.py` and the README beside the data.
    Raises WrongUse for a name that is not in ILLUMINANTS.
    """
    if name not in ILLUMINANTS:
        raise WrongUse(f"no illuminant {name!r}; known are {', '.join(ILLUMINANTS)}")
    nm, power = _columns(f"illuminant-{name}.csv")
    return PowerTable(int(nm[0]), power)


@lru_cache(maxsize=len(OBSERVERS))
def observer_table(name: str) -> MatchingTable:
    """Colour matching functions at 1 nm, 360-830 nm (ISO/CIE 11664-1).

    Raises WrongUse for a name that is not in OBSERVERS.
    """
    if name not in OBSERVERS:
        raise WrongUse(f"no observer {name!r}; known are {', '.join(OBSERVERS)}")
    nm, x, y, z = _columns(f"observer-{name}.csv")
    return MatchingTable(int(nm[0]), x, y, z)


def table_text(file_name: str) -> str:
    """The text of a table that comes with the package; WrongUse when the installation lacks it."""
    # pkgutil reads folders and zips as importlib.resources does, and a cold start has it 25 ms sooner.
    data = pkgutil.get_data(__package__, f"data/{file_name}")
    if data is None:
        raise WrongUse(f"the package was installed without its table {file_name}")
    return data.decode("ascii")


def _columns(file_name: str) -> list[tuple[float, ...]]:
    header, _, body = table_text(file_name).partition("\n")
    width = header.count(",") + 1
    numbers = tuple(map(float, body.replace("\n", ",").rstrip(",").split(",")))
    return [numbers[column::width] for column in range(width)]
