"""How the work came out: each verdict with its numbers, its limit, its rule, and what it does not say."""

from typing import Final, NamedTuple

from shadefmt.chain.comparisons import sides
from shadefmt.chain.verdicts import expanded_for
from shadefmt.colour.direction import Deltas
from shadefmt.colour.formula import Formula
from shadefmt.indexing import CaseView, Judgement, Located
from shadefmt.model.judging import Comparison, Direction, EmbeddedTolerance, Target, Uncertainty
from shadefmt.model.report import Report
from shadefmt.rendering.account.apart import apart, direction_words
from shadefmt.rendering.account.foundations import Foundations
from shadefmt.rendering.account.names import ABSENT, colour_name, party_name, reading_places, specimen_name, zone_name
from shadefmt.rendering.account.outlook import outlook_words
from shadefmt.rendering.dates import date_words
from shadefmt.rendering.figures import as_given, listed
from shadefmt.rendering.visible import flowing
from shadefmt.rendering.words import GRADES, LAMPS, OBSERVERS, OBSTACLES, OUTCOMES, QUESTIONS, RULE_NAMES, UNCERTAINTIES

AGAINST_REFERENCE: Final = "Judged against a reference, not against the tooth."
NO_MORE: Final = "It says nothing about shape, surface or other light."
NO_REMOVAL: Final = "This alone is no reason to remove a seated restoration."
NO_GRADE: Final = "How far a colour moved is no judgement of the result."


class Outcome(NamedTuple):
    """One verdict, or one comparison that nobody judged. Numbers are as given; absent is None or empty.

    `difference`, `expanded` and `limit_value` are the numbers behind the texts, for drawings; `parts` those of
    the direction, as stated or, where `parts_stated` is false, recomputed. `contradicted` holds codes of errors
    in what the verdict rests on, `doubted` those of warnings. A limit may have a `source`, be `agreed`, or both.
    """

    entry_id: str
    outcome: str
    subject: str
    zone: str
    against: str
    question: str
    asks_for_match: bool = True
    difference_text: str = ""
    direction: str = ""
    give_or_take: str = ""
    coverage: str = ""
    budget: str = ""
    limit: str = ""
    source: str = ""
    agreed: str = ""
    rule: str | None = None
    formula: str = ""
    light: str = ""
    grade: str = ""
    reasons: tuple[str, ...] = ()
    does_not_say: tuple[str, ...] = ()
    contradicted: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
    difference: float | None = None
    expanded: float | None = None
    limit_value: float | None = None
    parts: Deltas | None = None
    parts_stated: bool = False
    hue_ends: tuple[str, str] = ("one way", "other way")

    @property
    def whose(self) -> str:
        """Where the limit comes from: a publication, an agreement, both; empty where nobody says."""
        return ", ".join(filter(None, [self.source, self.agreed]))

    @property
    def rule_name(self) -> str:
        """The rule's short name in words, empty without one."""
        return RULE_NAMES[self.rule] if self.rule is not None else ""


def outcomes(view: CaseView, report: Report) -> list[Outcome]:
    """Return every verdict that counts, in the order of the file, then every comparison without one."""
    below = Foundations(view, report)
    found = [_of_judgement(view, below, each) for each in view.judgements]
    judged = {each.verdict.comparison_id for each in view.judgements}
    for comparison in view.case.comparisons or ():
        if comparison.id not in judged | view.withdrawn:
            found.append(_unjudged(view, below, comparison))
    return found


def _of_judgement(view: CaseView, below: Foundations, judgement: Judgement) -> Outcome:
    verdict, comparison, tolerance = judgement.verdict, judgement.comparison, judgement.tolerance
    outcome = OUTCOMES[verdict.decision]
    found = Outcome(
        verdict.id,
        outcome,
        ABSENT,
        "zone not stated",
        ABSENT,
        QUESTIONS[comparison.question] if comparison is not None else "",
        contradicted=below.errors([verdict.id]),
        doubted=below.warnings([verdict.id]),
        grade=GRADES[verdict.grade] if verdict.grade is not None else "",
        reasons=tuple(OBSTACLES[each] for each in verdict.obstacles or ()),
    )
    if comparison is None:
        return found._replace(reasons=(*found.reasons, "the comparison it names is not in the file"))
    found = _with_comparison(view, found, comparison)
    if tolerance is not None:
        found = _with_tolerance(view, found, judgement, tolerance)
    elif verdict.decision == "not-judged":
        found = found._replace(reasons=(*found.reasons, "no tolerance was named"))
    if verdict.decision == "cannot-be-compared":
        return found._replace(difference=None, difference_text="", direction="", give_or_take="", parts=None)
    if verdict.decision == "not-judged":
        return found
    return found._replace(reasons=_inconclusive(view, judgement, outcome), does_not_say=_not_said(judgement, outcome))


def _unjudged(view: CaseView, below: Foundations, comparison: Comparison) -> Outcome:
    found = Outcome(
        comparison.id,
        "not judged",
        ABSENT,
        "zone not stated",
        ABSENT,
        QUESTIONS[comparison.question],
        reasons=("compared, and no verdict was given",),
        contradicted=below.errors([comparison.id]),
        doubted=below.warnings([comparison.id]),
    )
    return _with_comparison(view, found, comparison)


def _with_comparison(view: CaseView, found: Outcome, comparison: Comparison) -> Outcome:
    standard, trial = view.entries.get(comparison.standard_id), view.entries.get(comparison.trial_id)
    by = Formula(comparison.formula, comparison.k_L, comparison.k_C, comparison.k_H)
    pair = sides(view, comparison)
    between = apart(*pair, by) if pair is not None else None
    uncertainty = comparison.uncertainty
    asks_for_match = comparison.question in ("match", "quality-control")
    return found._replace(
        asks_for_match=asks_for_match,
        subject=_subject(view, standard, trial) if asks_for_match else colour_name(view, trial),
        zone=_zone(view, standard, trial),
        against=colour_name(view, standard),
        difference_text=as_given(comparison.difference, comparison.decimals),
        direction=direction_words(between),
        budget=_budget(uncertainty),
        give_or_take=as_given(uncertainty.expanded, uncertainty.decimals) if uncertainty is not None else "",
        coverage=as_given(uncertainty.coverage_factor) if uncertainty is not None else "",
        formula=_formula(comparison),
        light=f"{LAMPS[comparison.illuminant]}, {OBSERVERS[comparison.observer]}",
        difference=comparison.difference,
        expanded=uncertainty.expanded if uncertainty is not None else None,
        parts=Deltas(*_stated(comparison.direction)) if comparison.direction else between.parts if between else None,
        parts_stated=comparison.direction is not None,
        hue_ends=between.hue_ends if between is not None else ("one way", "other way"),
    )


def _with_tolerance(view: CaseView, found: Outcome, judgement: Judgement, tolerance: EmbeddedTolerance) -> Outcome:
    expanded = expanded_for(judgement)
    stated = judgement.comparison.uncertainty if judgement.comparison is not None else None
    if expanded is not None and stated is not None and tolerance.coverage_factor is not None:
        scaled = round(expanded, max(stated.decimals, 2)) if expanded != stated.expanded else expanded
        found = found._replace(
            give_or_take=as_given(scaled, stated.decimals),
            coverage=as_given(tolerance.coverage_factor),
            expanded=expanded,
        )
    return found._replace(
        limit=as_given(tolerance.limit),
        limit_value=tolerance.limit,
        rule=tolerance.decision_rule,
        source=flowing(tolerance.source) if tolerance.source is not None else "",
        agreed=_agreed(view, tolerance),
    )


def _agreed(view: CaseView, tolerance: EmbeddedTolerance) -> str:
    """Return who agreed on a limit and when; empty where nobody says."""
    agreed = ""
    if tolerance.agreed_by_ids is not None:
        agreed = f"agreed by {listed([party_name(view, each) or '' for each in tolerance.agreed_by_ids])}"
    if tolerance.agreed_at is not None:
        return f"{agreed or 'agreed'} on {date_words(tolerance.agreed_at)}"
    return agreed


def _stated(direction: Direction) -> tuple[float, float, float, float, float]:
    return (direction.delta_L, direction.delta_a, direction.delta_b, direction.delta_C, direction.delta_H)


def _budget(uncertainty: Uncertainty | None) -> str:
    """Return what an uncertainty is made of, in words; empty where its parts are not stated."""
    if uncertainty is None or uncertainty.components is None:
        return ""
    parts = [f"{UNCERTAINTIES[each.source]} {as_given(each.standard_uncertainty)}" for each in uncertainty.components]
    return f"standard uncertainties: {listed(parts)}"


def _formula(comparison: Comparison) -> str:
    factors = (comparison.k_L, comparison.k_C, comparison.k_H)
    written = ":".join(as_given(each) for each in factors)
    return comparison.formula if factors == (1, 1, 1) else f"{comparison.formula} with factors {written}"


def _subject(view: CaseView, standard: Located | None, trial: Located | None) -> str:
    readings = view.readings_behind(trial)
    if readings:
        return listed(sorted({specimen_name(view, each.specimen_id) for each in readings}))
    if standard is not None and isinstance(standard.entry, Target):
        return specimen_name(view, standard.entry.specimen_id)
    return colour_name(view, trial)


def _zone(view: CaseView, standard: Located | None, trial: Located | None) -> str:
    places = reading_places(view.readings_behind(trial))
    if places:
        return listed(places)
    if standard is not None and isinstance(standard.entry, Target):
        return zone_name(standard.entry.zone)
    return "zone not stated"


def _inconclusive(view: CaseView, judgement: Judgement, outcome: str) -> tuple[str, ...]:
    """Return on which side of the limit the best estimate lies, and whether repeats could settle it."""
    if outcome != "inconclusive":
        return ()
    inside = judgement.verdict.decision == "conditionally-conforms"
    side = "within" if inside else "beyond"
    first = f"the readings cannot tell on which side of the limit it is; the best estimate lies {side} it"
    more = outlook_words(view, judgement)
    return (first, more) if more else (first,)


def _not_said(judgement: Judgement, outcome: str) -> tuple[str, ...]:
    question = judgement.comparison.question if judgement.comparison is not None else "match"
    said = [NO_GRADE if question == "change" else NO_MORE]
    standard = judgement.standard
    if standard is not None and question != "quality-control":
        target = standard.entry if isinstance(standard.entry, Target) else None
        if standard.list_name == "references" or (target is not None and target.source_kind == "chosen-reference"):
            said.insert(0, AGAINST_REFERENCE)
    if outcome == "does not conform" and question != "change":
        said.append(NO_REMOVAL)
    return tuple(said)
