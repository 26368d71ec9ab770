"""Numbers that follow from what the stories state, by the chain: means, differences, verdicts, indices."""

from collections.abc import Mapping, Sequence
from typing import Any

from scripts.situations.entries import BASIS, ONES, Entry, Value, colour
from shadefmt.chain.appearances import expected_contrast_ratio, expected_index, expected_offset
from shadefmt.chain.colours import lab_of
from shadefmt.chain.comparisons import DIRECTIONS, expected_direction
from shadefmt.chain.means import COVARIANCES, expected_covariances
from shadefmt.chain.obstacles import obstacles
from shadefmt.chain.uncertainties import REPEATABILITY, Repeats, repeats, stated_uncertainty
from shadefmt.chain.verdicts import WORST_FIRST, expanded_for, expected_decision, expected_grade
from shadefmt.colour.difference_single import difference
from shadefmt.colour.repeats import mcdm, mean
from shadefmt.history import add_entries
from shadefmt.indexing import CaseView
from shadefmt.model.case import Case


def view_of(value: Value) -> CaseView:
    """Return the case with its ids resolved."""
    return CaseView(Case.model_validate(value))


def copied(value: Value, name: str) -> Entry:
    """Return the colour of an entry, as a target states it."""
    view = view_of(value)
    found = view.colour(view.entries[name], *BASIS.values())
    assert found is not None
    return {**found.to_value(), "origin": "copied"}


def averaged(value: Value, name: str, readings: Sequence[Entry]) -> Value:
    """Return the case with repeats and their mean; of those that are there already only the mean is added."""
    known = {each["id"] for each in value.get("readings", ())}
    grown = add_entries(value, {"readings": [each for each in readings if each["id"] not in known]})
    labs = [tuple(each["colours"][0]["lab"].values()) for each in readings]
    spread = {"formula": "CIEDE2000", **ONES, "decimals": 4, "mcdm": number(mcdm(labs), 4), "covariance_of": "reading"}
    turns = zip(COVARIANCES, expected_covariances(labs, of_mean=False), strict=True)
    middle = mean(labs)
    stated = colour((number(middle[0], 2), number(middle[1], 2), number(middle[2], 2)), "computed")
    entry = {"id": name, "reading_ids": [each["id"] for each in readings], "of_origin": "instrument", "colour": stated}
    entry["spread"] = {**spread, **{member: number(each, 4) for member, each in turns}}
    return add_entries(grown, {"means": [entry]})


def compared(
    value: Value,
    name: str,
    question: str,
    sides: tuple[str, str],
    parts: Mapping[str, float] | None = None,
    **basis: Any,
) -> Value:
    """Return the case with a comparison of standard and trial.

    With `parts`, standard uncertainties by source, it has an uncertainty; the repeats are among them by themselves.
    """
    entry: Entry = {"id": name, "question": question, "standard_id": sides[0], "trial_id": sides[1]}
    entry |= {**BASIS, **basis, "formula": "CIEDE2000", **ONES, "decimals": 2, "difference": 0}
    view = view_of(add_entries(value, {"comparisons": [entry]}))
    comparison = view.find(name, "comparisons")
    colours = [view.colour(view.entries[each], comparison.illuminant, comparison.observer) for each in sides]
    labs = [lab_of(each.lab) for each in colours if each is not None and each.lab is not None]
    entry["difference"] = number(difference("CIEDE2000", labs[0], labs[1]), 2)
    turns = zip(DIRECTIONS, expected_direction(labs[0], labs[1]), strict=True)
    entry["direction"] = {"decimals": 2, **{member: number(each, 2) for member, each in turns}}
    if parts is not None:
        from_repeats = repeats(view, comparison)
        known = {REPEATABILITY: from_repeats.standard} if from_repeats is not None else {}
        entry["uncertainty"] = _uncertainty(entry["difference"], {**known, **parts}, from_repeats)
    return add_entries(value, {"comparisons": [entry]})


def _uncertainty(size: float, parts: Mapping[str, float], from_repeats: Repeats | None) -> Entry:
    stated = {source: number(each, 3) for source, each in parts.items()}
    whole = stated_uncertainty(size, stated, from_repeats)
    components = [{"source": source, "standard_uncertainty": each} for source, each in stated.items()]
    method = "linear" if whole.method == "linear" else "bounded"
    head = {"coverage_factor": 2, "decimals": 2, "expanded": number(whole.expanded, 2)}
    return {**head, "method": method, "components": components}


def judged(value: Value, name: str, comparison: str, tolerance: str | None = None) -> Value:
    """Return the case with a verdict on a comparison: by the rule, or what keeps it from being judged."""
    entry: Entry = {"id": name, "comparison_id": comparison}
    if tolerance is None:
        return add_entries(value, {"verdicts": [{**entry, "decision": "not-judged"}]})
    entry |= {"tolerance_id": tolerance, "decision": "not-judged"}
    view = view_of(add_entries(value, {"verdicts": [entry]}))
    judgement = next(each for each in view.judgements if each.verdict.id == name)
    assert judgement.comparison is not None
    assert judgement.tolerance is not None
    against = obstacles(view, judgement.comparison)
    if against:
        entry |= {"decision": "cannot-be-compared", "obstacles": against}
        return add_entries(value, {"verdicts": [entry]})
    rule, size = judgement.tolerance, judgement.comparison.difference
    grade = expected_grade(size, rule.grades or [])
    decision = expected_decision(rule.decision_rule, size, rule.limit, expanded_for(judgement))
    del entry["decision"]
    entry |= {**({"grade": grade} if grade else {}), "decision": decision}
    return add_entries(value, {"verdicts": [entry]})


def concluded(value: Value, name: str, verdicts: Sequence[str], **about: str) -> Value:
    """Return the case with a conclusion over verdicts: the worst of them."""
    decisions = [each["decision"] for each in value["verdicts"] if each["id"] in verdicts]
    entry = {"id": name, **about, "verdict_ids": list(verdicts), "decision": min(decisions, key=WORST_FIRST.index)}
    return add_entries(value, {"conclusions": [entry]})


def indexed(value: Value, name: str, of: str, index: str = "WI_D") -> Value:
    """Return the case with an index of an entry's colour."""
    view = view_of(value)
    found = view.colour(view.entries[of], *BASIS.values())
    assert found is not None
    assert found.lab is not None
    size = expected_index(index, lab_of(found.lab), *BASIS.values())
    assert size is not None
    return add_entries(
        value,
        {"indices": [{"id": name, "of_id": of, **BASIS, "index": index, "decimals": 2, "value": number(size, 2)}]},
    )


def bridged(value: Value, entry: Entry) -> Value:
    """Return the case with a bridge whose offset follows from its pairs."""
    entry = {**entry, "decimals": 2, "offset": {"L": 0, "a": 0, "b": 0}}
    view = view_of(add_entries(value, {"bridges": [entry]}))
    offset = expected_offset(view, view.find(entry["id"], "bridges"))
    assert offset is not None
    entry["offset"] = {name: number(each, 2) for name, each in zip("Lab", offset, strict=True)}
    return add_entries(value, {"bridges": [entry]})


def seen_through(value: Value, name: str, white: str, black: str, thickness_mm: float) -> Value:
    """Return the case with the translucency of a specimen read over white and over black."""
    view = view_of(value)
    colours = [view.colour(view.entries[each], *BASIS.values()) for each in (white, black)]
    labs = [lab_of(each.lab) for each in colours if each is not None and each.lab is not None]
    ratio = expected_contrast_ratio(labs[0], labs[1], *BASIS.values())
    assert ratio is not None
    entry = {"id": name, "over_white_id": white, "over_black_id": black, **BASIS, "thickness_mm": thickness_mm}
    entry |= {
        "formula": "CIEDE2000",
        **ONES,
        "decimals": 2,
        "difference": number(difference("CIEDE2000", labs[0], labs[1]), 2),
    }
    return add_entries(value, {"translucencies": [{**entry, "contrast_ratio": number(ratio, 2)}]})


def number(value: float, decimals: int) -> int | float:
    """Return a number as it is written: rounded, whole ones without a point."""
    rounded = round(value, decimals) + 0.0
    return int(rounded) if rounded.is_integer() else rounded
