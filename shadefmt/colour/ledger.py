"""Where between shade taking and seated work a difference arose; without numpy.

Differences do not add up; their CIELAB vectors do. A ledger follows one colour through its stations, say tooth
now, tooth then, target, crown at the laboratory, crown now: each line is the vector from one station to the
next, and the lines sum to the total to the last stated digit. It says where, never who.
"""

from collections.abc import Collection, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from math import isfinite
from typing import NamedTuple

from shadefmt.colour.covariances import Covariance, Vector
from shadefmt.colour.difference_single import Lab
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.colour.uncertainty import DifferenceUncertainty, difference_uncertainty
from shadefmt.errors import WrongUse


class Station(NamedTuple):
    """A colour on the way: its name, coordinates, and if known its covariance and the instrument that read it.

    A chosen or agreed colour has no instrument.
    """

    name: str
    lab: Lab
    covariance: Covariance | None = None
    instrument: str | None = None


class Line(NamedTuple):
    """One step: vector, its own size under the formula, and its share of the total.

    `share` is the step's projection on the total as a part of it; shares sum to 1, may be negative, and are
    None where the total is zero. `across_instruments` tells a line that two unbridged instruments lie between:
    it cannot be told apart from the instruments.
    """

    start: str
    end: str
    step: Vector
    difference: float
    share: float | None
    uncertainty: DifferenceUncertainty | None
    across_instruments: bool


class Ledger(NamedTuple):
    """The total, from first to last station, and the lines in between; `decimals` to which they close."""

    total: Line
    lines: tuple[Line, ...]
    decimals: int


def ledger(
    stations: Sequence[Station],
    decimals: int = 4,
    bridged: Collection[frozenset[str]] = (),
    by: Formula = CIEDE2000,
    coverage_factor: float = 2,
) -> Ledger:
    """The ledger of two stations or more.

    Coordinates are first rounded to `decimals`; every step is then exact in decimal numbers, so that the steps
    as printed sum to the total as printed. Sizes are taken of the rounded colours. `bridged` holds pairs of
    instruments whose offset is known and has been allowed for.
    """
    if len(stations) < 2:
        raise WrongUse("a ledger needs two stations or more")
    if decimals < 0:
        raise WrongUse("decimals must be zero or more")
    exact = [_decimals(station.lab, decimals) for station in stations]
    whole = _vector(exact[0], exact[-1])
    settings = (frozenset(bridged), by, coverage_factor)

    def line(i: int, j: int) -> Line:
        step = _vector(exact[i], exact[j])
        start = stations[i]._replace(lab=tuple(map(float, exact[i])))
        end = stations[j]._replace(lab=tuple(map(float, exact[j])))
        return _line(start, end, step, _share(step, whole), *settings)

    lines = tuple(line(i, i + 1) for i in range(len(stations) - 1))
    return Ledger(line(0, len(stations) - 1), lines, decimals)


def _line(
    start: Station,
    end: Station,
    step: tuple[Decimal, ...],
    share: float | None,
    bridged: frozenset[frozenset[str]],
    by: Formula,
    coverage_factor: float,
) -> Line:
    instruments = {start.instrument, end.instrument} - {None}
    across = len(instruments) == 2 and instruments not in bridged
    known = None
    if start.covariance is not None and end.covariance is not None:
        known = difference_uncertainty(
            start.lab, end.lab, start.covariance, end.covariance, by=by, coverage_factor=coverage_factor
        )
    vector = (float(step[0]), float(step[1]), float(step[2]))
    return Line(start.name, end.name, vector, by(start.lab, end.lab), share, known, across)


def _share(step: tuple[Decimal, ...], whole: tuple[Decimal, ...]) -> float | None:
    square = sum(x * x for x in whole)
    return float(sum(x * y for x, y in zip(step, whole, strict=True)) / square) if square else None


def _vector(start: tuple[Decimal, ...], end: tuple[Decimal, ...]) -> tuple[Decimal, ...]:
    return tuple(y - x for x, y in zip(start, end, strict=True))


def _decimals(lab: Lab, decimals: int) -> tuple[Decimal, ...]:
    if not all(map(isfinite, lab)):
        raise WrongUse("a colour coordinate is not a finite number")
    unit = Decimal(1).scaleb(-decimals)
    return tuple(Decimal(repr(float(value))).quantize(unit, ROUND_HALF_EVEN) for value in lab)
