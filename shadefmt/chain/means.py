"""Second link: readings give a mean and its spread."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from shadefmt.chain.colours import Triple, factors_fit, lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import agrees, half_unit, rounded, shown
from shadefmt.colour.repeats import covariance, mcdm
from shadefmt.colour.repeats import mean as mean_colour
from shadefmt.indexing import CaseView
from shadefmt.model.colours import Colour, Spread
from shadefmt.model.measuring import Mean, Reading

COVARIANCES = ("var_L", "var_a", "var_b", "cov_La", "cov_Lb", "cov_ab")
"""Members of a spread in the order of `expected_covariances`."""


class MeanInput(NamedTuple):
    """One reading of a mean and the colour of it that is averaged; None where it states none."""

    reading: Reading
    lab: Triple | None


def colour_to_average(view: CaseView, reading: Reading, mean: Mean) -> Colour | None:
    """Return the reading's colour with the origin, illuminant and observer that a mean is taken of."""
    wanted = (mean.of_origin, mean.colour.illuminant, mean.colour.observer)
    for colour in view.colours(view.entries[reading.id]):
        if (colour.origin, colour.illuminant, colour.observer) == wanted and colour.lab is not None:
            return colour
    return None


def inputs(view: CaseView, mean: Mean) -> list[MeanInput]:
    """Return the readings that a mean names, as far as they exist, with the colours to average."""
    found = []
    for reading_id in mean.reading_ids:
        reading = view.find(reading_id, "readings")
        if reading is not None:
            colour = colour_to_average(view, reading, mean)
            found.append(MeanInput(reading, lab_of(colour.lab) if colour and colour.lab else None))
    return found


def expected_covariances(labs: Sequence[Triple], of_mean: bool) -> tuple[float, ...]:
    """Return variances and covariances (divisor n - 1) of one reading, or of the mean of them all."""
    return tuple(covariance(labs, "mean" if of_mean else "reading"))


def candidates(view: CaseView, mean: Mean) -> dict[str, Triple]:
    """Return the colours of all readings of the places that a mean is of, also those that it does not name."""
    places = {(each.reading.specimen_id, each.reading.zone) for each in inputs(view, mean)}
    found = {}
    for reading in view.case.readings or ():
        colour = colour_to_average(view, reading, mean)
        if (reading.specimen_id, reading.zone) in places and colour is not None and colour.lab is not None:
            found[reading.id] = lab_of(colour.lab)
    return found


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every mean and spread with the readings that it names."""
    for at, mean in enumerate(view.case.means or ()):
        labs = [each.lab for each in inputs(view, mean)]
        known = [lab for lab in labs if lab is not None]
        if not known or len(known) != len(mean.reading_ids):
            continue  # said by the rule about inputs that are missing
        yield from _mean(view, mean, known, f"/means/{at}")
        if mean.spread is not None and len(known) > 1:
            yield from _spread(mean, mean.spread, known, f"/means/{at}/spread")


def _mean(view: CaseView, mean: Mean, labs: list[Triple], pointer: str) -> Iterator[Disagreement]:
    if mean.colour.lab is None:
        return
    stated, decimals = lab_of(mean.colour.lab), mean.colour.decimals
    expected = mean_colour(labs)
    if not all(agrees(one, other, decimals) for one, other in zip(stated, expected, strict=True)):
        params = {
            "stated": list(stated),
            "expected": shown(expected, decimals),
            "tolerance": half_unit(decimals),
            "readings": len(labs),
        }
        facts = (mean, labs, candidates(view, mean))
        yield Disagreement("mean-disagrees-with-readings", f"{pointer}/colour/lab", mean.id, params, facts)


def _spread(mean: Mean, spread: Spread, labs: list[Triple], pointer: str) -> Iterator[Disagreement]:
    expected: dict[str, float] = {}
    factors = (spread.k_L, spread.k_C, spread.k_H)
    if spread.mcdm is not None and factors_fit(spread.formula, factors):
        expected["mcdm"] = mcdm(labs, spread.formula, *factors)
    if spread.covariance_of is not None:
        of_mean = spread.covariance_of == "mean"
        expected |= dict(zip(COVARIANCES, expected_covariances(labs, of_mean), strict=True))
    for member, right in expected.items():
        stated = getattr(spread, member)
        if stated is not None and not agrees(stated, right, spread.decimals):
            params = {
                "stated": stated,
                "expected": rounded(right, spread.decimals + 2),
                "tolerance": half_unit(spread.decimals),
            }
            yield Disagreement(
                "spread-disagrees-with-readings", f"{pointer}/{member}", mean.id, params, (mean, labs, member)
            )
