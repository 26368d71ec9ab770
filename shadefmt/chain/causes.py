"""Which single change would explain a broken link. General: every basis, scale, order and set is tried alike."""

from collections.abc import Callable, Iterator
from itertools import combinations, permutations, product
from typing import Any, Final, NamedTuple, get_args

from shadefmt.chain.colours import Triple, expected_from_spectrum, lab_of, xyz_of
from shadefmt.chain.means import COVARIANCES, expected_covariances
from shadefmt.chain.rounding import agrees
from shadefmt.chain.verdicts import expanded_for, expected_decision
from shadefmt.colour.difference_single import FORMULAS, difference
from shadefmt.colour.repeats import mcdm, mean
from shadefmt.colour.single import xyz_to_lab
from shadefmt.colour.weights import white_point
from shadefmt.model.colours import Colour, Spectrum
from shadefmt.vocabulary import DecisionRule, Illuminant, Observer

MOST_SUBSETS_OF: Final = 12
"""Readings up to which every set of them is tried."""

FACTORS: Final = ((1.0, 1.0, 1.0), (2.0, 1.0, 1.0))
"""Parametric factors in use: reference conditions, and half weight on lightness."""


class Explanation(NamedTuple):
    """A change that would make the stated value right."""

    code: str
    params: dict[str, Any]
    message: str


def causes_of(code: str, facts: Any) -> list[Explanation]:
    """Return every change that alone explains a disagreement; empty where none does."""
    search = _SEARCHES.get(code)
    return list(search(facts)) if search is not None else []


def _of_spectrum(facts: tuple[Spectrum, Colour]) -> Iterator[Explanation]:
    spectrum, colour = facts
    if colour.lab is None:
        return
    stated, decimals = lab_of(colour.lab), colour.decimals
    more = 0.0 if colour.origin == "computed" else 0.05

    def fits(lab: Triple) -> bool:
        return all(agrees(one, other, decimals, more) for one, other in zip(stated, lab, strict=True))

    own = expected_from_spectrum(spectrum, colour.illuminant, colour.observer)
    for illuminant, observer in _bases():
        made = expected_from_spectrum(spectrum, illuminant, observer)
        if made is not None and (illuminant, observer) != (colour.illuminant, colour.observer) and fits(made.lab):
            yield _basis_cause(illuminant, observer)
    if own is None:
        return
    white = white_point(colour.illuminant, colour.observer)
    for scale, words in ((100.0, "percent"), (0.01, "a hundredth of factors")):
        x, y, z = (value / scale for value in own.xyz)
        if fits(xyz_to_lab((x, y, z), white)):
            yield Explanation("scale", {"scale": words}, f"The spectrum is in {words}.")
    yield from _coordinates(own.lab, fits, stated)


def _basis_cause(illuminant: str, observer: str) -> Explanation:
    params = {"illuminant": illuminant, "observer": observer}
    return Explanation("other-basis", params, f"The colour is for illuminant {illuminant}, observer {observer}.")


def _bases() -> Iterator[tuple[str, str]]:
    known = [[each for each in get_args(words) if each != "unknown"] for words in (Illuminant, Observer)]
    yield from product(*known)


def _coordinates(right: Triple, fits: Callable[[Triple], bool], stated: Triple) -> Iterator[Explanation]:
    """Try every order and sign of the coordinates, and one of them mistyped."""
    names = ("L", "a", "b")
    for order in permutations(range(3)):
        if order != (0, 1, 2) and fits((right[order[0]], right[order[1]], right[order[2]])):
            written = ", ".join(names[each] for each in order)
            yield Explanation("order", {"order": written}, f"The coordinates stand in the order {written}.")
    for signs in product((1, -1), repeat=3):
        if signs != (1, 1, 1) and fits((signs[0] * right[0], signs[1] * right[1], signs[2] * right[2])):
            flipped = [name for name, sign in zip(names, signs, strict=True) if sign < 0]
            yield Explanation("sign", {"members": flipped}, f"The sign of {', '.join(flipped)} is wrong.")
            break  # the fewest come first; with a coordinate of zero more signs would do
    yield from _one_mistyped(names, right, stated, fits)


def _one_mistyped(
    names: tuple[str, ...], right: Triple, stated: Triple, fits: Callable[[Triple], bool]
) -> Iterator[Explanation]:
    for place, name in enumerate(names):
        mended = list(right)
        mended[place] = stated[place]
        if fits((mended[0], mended[1], mended[2])):
            params = {"member": name, "stated": stated[place], "expected": round(right[place], 4)}
            yield Explanation("one-coordinate", params, f"Only {name} differs; it may have been retyped.")


def _of_xyz(colour: Colour) -> Iterator[Explanation]:
    assert colour.lab is not None
    assert colour.xyz is not None
    stated, xyz = lab_of(colour.lab), xyz_of(colour.xyz)
    room = 12 * 0.5 * 10.0**-colour.decimals  # XYZ rounded to so many decimals moves CIELAB by more than itself

    def fits(lab: Triple, room: float = room) -> bool:
        return all(abs(one - other) <= room for one, other in zip(stated, lab, strict=True))

    for illuminant, observer in _bases():
        other = (illuminant, observer) != (colour.illuminant, colour.observer)
        if other and fits(xyz_to_lab(xyz, white_point(illuminant, observer))):
            yield _basis_cause(illuminant, observer)
    own = xyz_to_lab(xyz, white_point(colour.illuminant, colour.observer))
    scaled = xyz_to_lab(tuple(100 * each for each in xyz), white_point(colour.illuminant, colour.observer))
    if fits(scaled, 100 * room):
        yield Explanation("scale", {"scale": "0 to 1"}, "The tristimulus values are scaled to 1, not to 100.")
    yield from _coordinates(own, fits, stated)


def _of_mean(facts: Any) -> Iterator[Explanation]:
    entry, labs, candidates = facts
    stated, decimals = lab_of(entry.colour.lab), entry.colour.decimals

    def fits(lab: Triple) -> bool:
        return all(agrees(one, other, decimals) for one, other in zip(stated, lab, strict=True))

    named = frozenset(entry.reading_ids)
    ids = list(candidates)
    if len(ids) <= MOST_SUBSETS_OF:
        for size in range(1, len(ids) + 1):
            for chosen in combinations(ids, size):
                if frozenset(chosen) != named and fits(mean([candidates[each] for each in chosen])):
                    params = {"readings": list(chosen)}
                    yield Explanation("other-readings", params, f"It is the mean of {', '.join(chosen)}.")
    yield from _coordinates(mean(labs), fits, stated)


def _of_spread(facts: Any) -> Iterator[Explanation]:
    entry, labs, member = facts
    spread = entry.spread
    stated, decimals, count = getattr(spread, member), spread.decimals, len(labs)
    if member == "mcdm":
        for formula, factors in product(FORMULAS, FACTORS):
            if formula == "CIELAB" and factors != FACTORS[0]:
                continue
            used = (spread.formula, (spread.k_L, spread.k_C, spread.k_H))
            if (formula, factors) != used and agrees(stated, mcdm(labs, formula, *factors), decimals):
                yield _formula_cause(formula, factors)
        return
    right = expected_covariances(labs, spread.covariance_of == "mean")[COVARIANCES.index(member)]
    other = expected_covariances(labs, spread.covariance_of != "mean")[COVARIANCES.index(member)]
    if agrees(stated, right * (count - 1) / count, decimals):
        yield Explanation("divisor", {"divisor": "n"}, "It was divided by n; n - 1 is meant.")
    if agrees(stated, other, decimals):
        of = "reading" if spread.covariance_of == "mean" else "mean"
        yield Explanation("covariance-of", {"of": of}, f"It is that of the {of}.")


def _formula_cause(formula: str, factors: Triple) -> Explanation:
    written = ":".join(f"{each:g}" for each in factors)
    params = {"formula": formula, "factors": written}
    return Explanation("other-formula", params, f"It is {formula} with factors {written}.")


def _of_difference(facts: Any) -> Iterator[Explanation]:
    comparison, pair = facts
    used = (comparison.formula, (comparison.k_L, comparison.k_C, comparison.k_H))
    for formula, factors in product(FORMULAS, FACTORS):
        if (formula, factors) == used or (formula == "CIELAB" and factors != FACTORS[0]):
            continue
        if agrees(comparison.difference, difference(formula, pair[0], pair[1], *factors), comparison.decimals):
            yield _formula_cause(formula, factors)


def _of_direction(facts: Any) -> Iterator[Explanation]:
    stated, right, decimals = facts
    if right and agrees(stated, -right, decimals):
        yield Explanation("sign", {}, "It is standard minus trial; trial minus standard is meant.")


def _of_decision(judgement: Any) -> Iterator[Explanation]:
    tolerance, comparison = judgement.tolerance, judgement.comparison
    expanded = expanded_for(judgement)
    for rule in get_args(DecisionRule):
        if rule == tolerance.decision_rule:
            continue
        decision = expected_decision(rule, comparison.difference, tolerance.limit, expanded)
        if decision == judgement.verdict.decision:
            yield Explanation("other-rule", {"rule": rule}, f"The rule {rule} says so.")


_SEARCHES: Final[dict[str, Callable[[Any], Iterator[Explanation]]]] = {
    "colour-disagrees-with-spectrum": _of_spectrum,
    "instrument-colour-differs-from-spectrum": _of_spectrum,
    "xyz-disagrees-with-lab": _of_xyz,
    "mean-disagrees-with-readings": _of_mean,
    "spread-disagrees-with-readings": _of_spread,
    "difference-disagrees": _of_difference,
    "direction-disagrees": _of_direction,
    "decision-disagrees-with-rule": _of_decision,
}
