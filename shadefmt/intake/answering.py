"""From findings, demands and waivers to the answer: accepted, refused or undecided."""

from collections.abc import Iterator, Set
from typing import Final

from shadefmt.intake.asking import Asked
from shadefmt.intake.desk import Desk
from shadefmt.intake.waiving import Waivers
from shadefmt.model.report import DemandNotMet, Finding, Intake, LeftOpen, Report
from shadefmt.reporting import Findings
from shadefmt.rules.base import Hit
from shadefmt.vocabulary import IntakeAnswer, IntakeWeight

LOOKED: Final = ("not-applicable", "off")
"""Reasons for a rule not to run that leave nothing open."""


def answered(report: Report, desk: Desk, asked: Asked) -> Report:
    """Return a report with the receiver's answer and marks on its findings; nothing else of it changes."""
    waivers = Waivers(desk, report.judged.id)
    findings = [_weighed(each, desk, waivers) for each in report.findings or ()]
    demands = [_let_stand(each, waivers) for each in asked.unmet]
    heavy = [each for each in findings if (each.intake_weight or each.severity) == "error"]
    lent = {each for each in (*(one.waiver_id for one in heavy), *(one.waiver_id for one in demands)) if each}
    findings_against = sum(each.waiver_id is None for each in heavy)
    demands_against = sum(each.waiver_id is None for each in demands)
    left_open = list(_left_open(report, desk, asked, lent))
    answer: IntakeAnswer = "undecided" if left_open else "accepted"
    if findings_against or demands_against:
        answer = "refused"
    waived = len(heavy) + len(demands) - findings_against - demands_against
    intake = Intake.model_construct(
        answer=answer,
        profile=desk.profile_pin,
        waiver_list=desk.waivers_pin,
        by_waiver=answer == "accepted" and waived > 0,
        findings_against=findings_against,
        demands_against=demands_against,
        waived=waived,
        demands_not_met=demands or None,
        left_open=left_open or None,
        findings=_on_waivers(report, desk, asked, waivers) or None,
    )
    return report.model_copy(update={"findings": findings or None, "intake": intake})


def _weighed(finding: Finding, desk: Desk, waivers: Waivers) -> Finding:
    """Return a finding with what it counts as for this receiver, and the waiver that lets it stand."""
    weight: IntakeWeight = desk.weights.get(finding.code, finding.severity)
    waiver = waivers.of_finding(finding)
    if weight == finding.severity and waiver is None:
        return finding
    marks = {
        "intake_weight": weight if weight != finding.severity else None,
        "waiver_id": waiver.id if waiver is not None else None,
    }
    return finding.model_copy(update=marks)


def _let_stand(unmet: DemandNotMet, waivers: Waivers) -> DemandNotMet:
    waiver = waivers.of_demand(unmet)
    return unmet if waiver is None else unmet.model_copy(update={"waiver_id": waiver.id})


def _left_open(report: Report, desk: Desk, asked: Asked, lent: Set[str]) -> Iterator[LeftOpen]:
    """Yield what the answer would need and that was not looked at.

    A part of the document, unless the profile takes cases that were checked in part; a rule that the profile raises
    to an error; a demand; the last day of a waiver that the answer rests on.
    """
    if report.partly_checked and not desk.profile.partly_checked_accepted:
        yield LeftOpen.model_construct(what="part", name="document")
    for rule in report.rules_not_run or ():
        if desk.weights.get(rule.code) == "error" and rule.reason not in LOOKED:
            yield LeftOpen.model_construct(what="rule", name=rule.code, reason=rule.reason)
    yield from asked.left_open
    for waiver in desk.waivers.waivers if desk.waivers is not None and report.as_of is None else ():
        if waiver.id in lent and waiver.valid_until is not None:
            yield LeftOpen.model_construct(what="waiver", name=waiver.id, reason="not-supplied")


def _on_waivers(report: Report, desk: Desk, asked: Asked, waivers: Waivers) -> list[Finding]:
    """Return the findings on waivers that are about this case, in the order of the list."""
    listed = desk.waivers.waivers if desk.waivers is not None else []
    about = {each.id for each in listed if each.document in (None, report.judged.id)}
    said = Findings(b"")
    for expired in desk.remarks:
        if expired.code == "waiver-expired" and expired.entry_id in about:
            said.add(expired.code, Hit(expired.pointer, expired.parameters, expired.entry_id))
    for placed, fault in waivers.refused:
        said.add("waiver-not-accepted", Hit(f"/waivers/{placed.place}", {"fault": fault}, placed.waiver.id))
    open_matters = {each.name for each in asked.left_open}
    open_matters |= {each.code for each in report.rules_not_run or () if each.reason not in LOOKED}
    asked_for = desk.profile.demands.to_value() if desk.profile.demands is not None else {}
    for placed in waivers.counting:
        waiver = placed.waiver
        if waiver.document is None or waiver.id in waivers.used:
            continue
        looked = waiver.demand is None or waiver.demand.replace("-", "_") in asked_for
        if looked and (waiver.code or waiver.demand) not in open_matters:
            said.add("waiver-unused", Hit(f"/waivers/{placed.place}", {}, waiver.id))
    return sorted(said.found, key=lambda each: (int(each.pointer.split("/")[2]), each.code))
