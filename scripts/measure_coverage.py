"""Print how often stated intervals cover a known true difference, and how often each decision rule errs.

    python -m scripts.measure_coverage [pairs of readings a case]

Simulated throughout: readings are drawn about two colours whose difference is known, with the stated normal noise,
seeded. `docs/coverage.md` holds what it printed.
"""

import sys
from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from shadefmt.chain.uncertainties import REPEATABILITY, repeats_of, stated_uncertainty
from shadefmt.colour.covariances import from_standard
from shadefmt.colour.decisions import CONFORMS, DOES_NOT_CONFORM, RULES, decide
from shadefmt.colour.difference_single import Lab
from shadefmt.colour.formula import CIEDE2000
from shadefmt.colour.uncertainty import DifferenceUncertainty, difference_uncertainty, scalar_uncertainty

STANDARD: Final = (74.0, 1.5, 17.0)
LIMIT: Final = 1.8
AWAY: Final = (-0.6, 0.2, 0.75)
"""Direction in which the trial lies: darker, stronger (invented)."""

TRUTHS: Final = (0.0, 0.2, 0.5, 0.8, 1.2, 1.6, 1.8, 2.0, 2.4, 3.6)
"""True differences in CIEDE2000: none, near zero, below, at and beyond the limit."""

NOISES: Final = {
    "ordinary": (0.30, 0.12, 0.25),
    "quiet": (0.10, 0.05, 0.10),
    "lightness": (0.60, 0.05, 0.10),
    "yellowness": (0.10, 0.05, 0.60),
}
"""Standard deviations of one reading in L*, a*, b* (invented)."""


class Row(NamedTuple):
    """One simulated case. Rates are shares of the pairs of readings.

    `covered` is by the full covariances, `covered_stated` by what `derive` and `compare` state, `covered_number` by
    one combined number and no more, for whoever knows nothing else; `near_zero` had an upper bound only; `wrong` are
    decisions of each rule that the truth contradicts, and `open_share` the conditional ones of the four-way rule,
    which are no errors.
    """

    noise: str
    truth: float
    covered: float
    covered_stated: float
    covered_number: float
    near_zero: float
    wrong: dict[str, float]
    open_share: float


def trial_at(truth: float) -> Lab:
    """The colour on the way from STANDARD along AWAY whose CIEDE2000 is `truth`, by bisection."""
    low, high = 0.0, 20.0
    for _ in range(60):
        middle = (low + high) / 2
        if CIEDE2000(STANDARD, _moved(middle)) < truth:
            low = middle
        else:
            high = middle
    return _moved(high) if truth else STANDARD


def rows(count: int, seed: int = 5) -> Iterator[Row]:
    """Every case with `count` pairs of readings."""
    for name, deviations in NOISES.items():
        for truth in TRUTHS:
            yield _row(name, deviations, truth, count, np.random.default_rng(seed))


def _row(name: str, deviations: Lab, truth: float, count: int, rng: np.random.Generator) -> Row:
    noise = from_standard(*deviations)
    drawn = np.array([STANDARD, trial_at(truth)]) + rng.standard_normal((count, 2, 3)) * deviations
    full, stated, number, near, still_open = 0, 0, 0, 0, 0
    wrong = dict.fromkeys(RULES, 0)
    for one, two in drawn.tolist():
        size = CIEDE2000(one, two)
        whole = difference_uncertainty(one, two, noise, noise)
        repeats = repeats_of((one, two), (noise, noise), CIEDE2000)
        said = stated_uncertainty(size, {REPEATABILITY: repeats.standard}, repeats)
        alone = scalar_uncertainty(size, repeats.standard)
        full += _holds(whole, truth)
        stated += _holds(said, truth)
        number += _holds(alone, truth)
        near += whole.method == "upper-bound"
        for rule in RULES:
            decision = decide(rule, size, LIMIT, said.expanded)
            wrong[rule] += _contradicted(rule, decision, truth)
            still_open += rule == "four-way-guarded" and decision not in (CONFORMS, DOES_NOT_CONFORM)
    rates = {rule: times / count for rule, times in wrong.items()}
    shares = [each / count for each in (full, stated, number, near)]
    return Row(name, truth, *shares, rates, still_open / count)


def _holds(found: DifferenceUncertainty, truth: float) -> bool:
    return found.lower <= truth + 1e-9 and truth <= found.upper + 1e-9


def _contradicted(rule: str, decision: str, truth: float) -> bool:
    """Whether the truth contradicts a decision; the two-way guarded rule may fail what conforms, by its design."""
    if decision == CONFORMS:
        return truth > LIMIT + 1e-9
    return decision == DOES_NOT_CONFORM and rule != "guarded" and truth <= LIMIT + 1e-9


def _moved(step: float) -> Lab:
    return (STANDARD[0] + step * AWAY[0], STANDARD[1] + step * AWAY[1], STANDARD[2] + step * AWAY[2])


def main() -> None:
    """Print the table as Markdown."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print("| noise | true difference | covered | covered, as stated | covered, one number | upper bound only", end="")
    print(" | simple wrong | guarded wrong | four-way wrong | four-way open |\n|" + "---|" * 10)
    for row in rows(count):
        figures = [
            row.covered,
            row.covered_stated,
            row.covered_number,
            row.near_zero,
            *row.wrong.values(),
            row.open_share,
        ]
        print(f"| {row.noise} | {row.truth} | " + " | ".join(f"{100 * each:.1f} %" for each in figures) + " |")


if __name__ == "__main__":
    main()
