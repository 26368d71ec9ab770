"""Runs the cases that ask what a receiver's answer to a document is."""

import json
from typing import Any, Final

from checking import options
from suite import Case, Value, document

from shadefmt.intake import desk_of, receive
from shadefmt.model.report import Report

EXIT: Final = {"accepted": 0, "refused": 1, "undecided": 3}
EMPTY: Final[Value] = {"waived": [], "weights": [], "left_open": [], "findings": [], "by_waiver": False}
"""What is expected where a case does not say."""


def run(case: Case) -> str | None:
    """What differs from the expectation, None where nothing does."""
    wanted, got = expected(case.content), answer_in(received(case.content))
    unlike = [f"{name}: expected {wanted[name]}, got {got[name]}" for name in got if wanted[name] != got[name]]
    return "; ".join(unlike) or None


def received(case: Value) -> Report:
    """The report of the document of a case, with the answer under its profile and waivers."""
    waivers = json.dumps(case["waivers"]).encode() if "waivers" in case else None
    asked = options(case.get("options", {}))
    desk = desk_of(json.dumps(case["profile"]).encode(), waivers, as_of=asked.get("as_of"))
    return receive(document(case), desk, **asked)


def answer_in(report: Report) -> Value:
    """What a report says of the answer, as the suite writes it; lists in order."""
    intake = report.intake
    if intake is None:
        raise ValueError("the report holds no answer")
    findings, unmet = report.findings or [], intake.demands_not_met or []
    waived = [[each.code, each.pointer, each.waiver_id] for each in findings if each.waiver_id]
    waived += [[each.demand, each.pointer, each.waiver_id] for each in unmet if each.waiver_id]
    return {
        "outcome": report.outcome,
        "answer": intake.answer,
        "exit": EXIT[intake.answer],
        "by_waiver": intake.by_waiver,
        "demands": sorted([each.demand, each.pointer] for each in unmet),
        "waived": sorted(waived),
        "weights": sorted([each.code, each.pointer, each.intake_weight] for each in findings if each.intake_weight),
        "left_open": sorted([each.what, each.name] for each in intake.left_open or ()),
        "findings": sorted([each.code, each.pointer] for each in intake.findings or ()),
    }


def expected(case: Value) -> Value:
    """The expectation of a case in full; lists in order."""
    stated: dict[str, Any] = {**EMPTY, **case["expect"]}
    return {name: sorted(item) if isinstance(item, list) else item for name, item in stated.items()}
