"""What one receiver holds cases against: a profile and, where there is one, a waiver list, both found sound."""

from dataclasses import dataclass, field
from typing import Any

from shadefmt.checking import check
from shadefmt.documents import as_model, loads
from shadefmt.errors import WrongUse
from shadefmt.jsontext import digest
from shadefmt.model.intake import IntakeProfile, WaiverList
from shadefmt.model.report import Finding, IntakeDocument
from shadefmt.vocabulary import IntakeWeight


@dataclass(frozen=True)
class Desk:
    """A profile and waivers, ready to be held against cases.

    `weights` says what rules count as where the profile says so; `expired` names the waivers whose last day is over;
    `remarks` are the findings on the waiver list itself.
    """

    profile: IntakeProfile
    profile_pin: IntakeDocument
    weights: dict[str, IntakeWeight]
    waivers: WaiverList | None = None
    waivers_pin: IntakeDocument | None = None
    expired: frozenset[str] = frozenset()
    remarks: list[Finding] = field(default_factory=list)


def desk_of(
    profile: bytes,
    waivers: bytes | None = None,
    *,
    as_of: str | None = None,
    profile_name: str = "profile",
    waivers_name: str = "waivers",
) -> Desk:
    """Return the desk that a profile and a waiver list make up.

    `as_of` is the moment for which the last days of waivers are judged; without it no waiver is taken as expired.

    Raises:
        WrongUse: one of the documents is of another kind, faulty, or not wholly understood; the text says where.
    """
    value, _ = _sound(profile, "intake-profile", profile_name, None)
    model = as_model(value)
    assert isinstance(model, IntakeProfile)
    weights = {each.code: each.weight for each in model.rules or ()}
    if waivers is None:
        return Desk(model, _pin(value), weights)
    listed, remarks = _sound(waivers, "waiver-list", waivers_name, as_of)
    waiver_list = as_model(listed)
    assert isinstance(waiver_list, WaiverList)
    expired = frozenset(str(each.entry_id) for each in remarks if each.code == "waiver-expired")
    return Desk(model, _pin(value), weights, waiver_list, _pin(listed), expired, remarks)


def _sound(data: bytes, kind: str, name: str, as_of: str | None) -> tuple[dict[str, Any], list[Finding]]:
    """Return a document of the receiver and the findings on it, none of which is an error."""
    report = check(data, as_of=as_of)
    findings = report.findings or []
    if report.judged.kind not in (None, kind):
        raise WrongUse(f"{name} is of kind {report.judged.kind}; {kind} is meant")
    if report.outcome != "valid":
        first = findings[0]
        place = f"line {first.position.line}" if first.position is not None else "root"
        raise WrongUse(f"{name}: {place}, {first.pointer or 'root'}: {first.message} {first.remedy or ''}".rstrip())
    return loads(data), findings


def _pin(value: dict[str, Any]) -> IntakeDocument:
    return IntakeDocument.model_construct(id=value["id"], sha256=digest(value), title=value["title"])
