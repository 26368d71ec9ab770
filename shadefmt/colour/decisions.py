"""Decision rules and the probability of conformity; without numpy.

A decision says on which side of a limit a difference lies under a rule that was agreed beforehand (ILAC-G8:
09/2019; JCGM 106:2012). It says nothing about what to do with a crown.
"""

from math import ceil, isfinite, sqrt
from typing import Final, NamedTuple

from shadefmt.colour.distributions import normal_cdf
from shadefmt.errors import WrongUse

RULES: Final = ("simple", "guarded", "four-way-guarded")
CONFORMS: Final = "conforms"
CONDITIONALLY_CONFORMS: Final = "conditionally-conforms"
CONDITIONALLY_FAILS: Final = "conditionally-fails"
DOES_NOT_CONFORM: Final = "does-not-conform"
DECISIONS: Final = (CONFORMS, CONDITIONALLY_CONFORMS, CONDITIONALLY_FAILS, DOES_NOT_CONFORM)

# Sums of decimal numbers are compared after this rounding, so that 1.3 + 0.5 reaches a limit of 1.8.
DECIMALS: Final = 9


def decide(rule: str, difference: float, limit: float, expanded: float | None = None) -> str:
    """One of DECISIONS for a difference against an upper limit, with guard band w = U.

    "simple" (no guard band; the uncertainty is not used): conforms up to the limit. "guarded" (two ways):
    conforms where difference + U <= limit. "four-way-guarded": conforms up to limit - U, conditionally
    conforms up to the limit, conditionally fails up to limit + U. Equality belongs to the better side;
    sums are rounded to nine decimals first. Raises WrongUse for an unknown rule, for numbers that are
    negative or not finite, and for a guarded rule without `expanded`.
    """
    if rule not in RULES:
        raise WrongUse(f"unknown decision rule {rule!r}: use one of {', '.join(RULES)}")
    _numbers(difference=difference, limit=limit)
    measured, most = round(difference, DECIMALS), round(limit, DECIMALS)
    if rule == "simple":
        return CONFORMS if measured <= most else DOES_NOT_CONFORM
    if expanded is None:
        raise WrongUse(f"the {rule} rule needs an expanded uncertainty")
    _numbers(expanded=expanded)
    if round(difference + expanded, DECIMALS) <= most:
        return CONFORMS
    if rule == "guarded" or round(difference - expanded, DECIMALS) > most:
        return DOES_NOT_CONFORM
    return CONDITIONALLY_CONFORMS if measured <= most else CONDITIONALLY_FAILS


def probability_of_conformity(difference: float, limit: float, standard: float) -> float:
    """Probability that the true difference is at most the limit, from a normal distribution (JCGM 106, 7.2).

    Fair where the uncertainty of the difference is linear; near zero use the drawn one (`monte_carlo`).
    """
    _numbers(difference=difference, limit=limit, standard=standard)
    if standard == 0:
        return float(difference <= limit)
    return normal_cdf((limit - difference) / standard)


class Outlook(NamedTuple):
    """Whether repeats could settle a decision that is open now, if the difference stays what it is.

    `settled` says that nothing is open. `possible` is False where what repeats cannot reduce is as large as
    the gap to the limit. `readings` is the number on each side, in all, that would settle it.
    """

    settled: bool
    possible: bool
    readings: int | None


def outlook(
    difference: float,
    limit: float,
    random: float,
    systematic: float,
    readings: int,
    coverage_factor: float = 2,
) -> Outlook:
    """How many readings on each side would bring the four-way rule to conforms or does not conform.

    `random` is the standard uncertainty of the difference from one reading on each side, of which means of n
    leave 1 / sqrt(n); `systematic` is what no repeat reduces (instrument, reference, bridge). More repeats
    of a tooth dry it: the number is a fact about noise, not advice.
    """
    _numbers(difference=difference, limit=limit, random=random, systematic=systematic, factor=coverage_factor)
    if readings < 1:
        raise WrongUse("at least one reading on each side is meant")

    def open_at(n: int) -> bool:
        expanded = coverage_factor * sqrt(random * random / n + systematic * systematic)
        return decide("four-way-guarded", difference, limit, expanded) not in (CONFORMS, DOES_NOT_CONFORM)

    if not open_at(readings):
        return Outlook(True, True, readings)
    gap = abs(difference - limit)
    if round(gap, DECIMALS) <= round(coverage_factor * systematic, DECIMALS):
        return Outlook(False, False, None)
    spare = (gap / coverage_factor) ** 2 - systematic * systematic
    needed = max(ceil(random * random / spare) - 1, readings + 1)
    while open_at(needed):
        needed += 1
    return Outlook(False, True, needed)


def largest_conforming(limit: float, expanded: float) -> float | None:
    """The largest difference that a guarded rule can call conforming; None where no result ever could."""
    _numbers(limit=limit, expanded=expanded)
    spare = round(limit - expanded, DECIMALS)
    return spare if spare >= 0 else None


def _numbers(**values: float) -> None:
    for name, value in values.items():
        if not (isfinite(value) and value >= 0):
            raise WrongUse(f"{name} must be a number of zero or more, not {value!r}")
