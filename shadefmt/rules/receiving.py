"""Rules on intake profiles and waiver lists: whether they say what can be asked, and nothing that must not be."""

from collections.abc import Iterator
from typing import Final

from shadefmt.catalogue import catalogue
from shadefmt.model.demands import Demands
from shadefmt.model.intake import IntakeProfile, Waiver, WaiverList
from shadefmt.rules.base import Hit, Matter, Rule
from shadefmt.timestamps import is_after

WEIGHTS: Final = ("error", "warning", "note", "off")
"""What a rule may count as, most first."""


def profile_code_unknown(matter: Matter) -> Iterator[Hit]:
    """A profile names a rule that is not in the catalogue."""
    profile = _profile(matter)
    known = catalogue().rules
    named = [(f"/rules/{index}/code", each.code) for index, each in enumerate(profile.rules or ())]
    never = profile.waivers.never_for if profile.waivers is not None else None
    named += [(f"/waivers/never_for/{index}", code) for index, code in enumerate(never or ())]
    for pointer, code in named:
        if code not in known:
            yield Hit(pointer, {"code": code})


def profile_code_repeated(matter: Matter) -> Iterator[Hit]:
    """A profile says of one rule twice what it counts as."""
    seen: dict[str, str] = {}
    for index, each in enumerate(_profile(matter).rules or ()):
        pointer = f"/rules/{index}/code"
        first = seen.setdefault(each.code, pointer)
        if first != pointer:
            yield Hit(pointer, {"code": each.code, "first": first})


def profile_lowers_protected_rule(matter: Matter) -> Iterator[Hit]:
    """A profile lets a rule count less that is never lowered."""
    for index, each in enumerate(_profile(matter).rules or ()):
        rule = catalogue().rules.get(each.code)
        if rule is None or each.code not in catalogue().protected:
            continue
        if WEIGHTS.index(each.weight) > WEIGHTS.index(rule.severity):
            params = {"code": each.code, "severity": rule.severity, "weight": each.weight}
            yield Hit(f"/rules/{index}/weight", params)


def profile_demand_unsound(matter: Matter) -> Iterator[Hit]:
    """A demand asks for nothing, or for what cannot be."""
    demands = _profile(matter).demands
    assert demands is not None
    if not demands.to_value():
        yield Hit("/demands", {"demand": "demands", "fault": "nothing is demanded"})
    for member, fault in _faults(demands):
        yield Hit(f"/demands/{member}", {"demand": member.replace("_", "-"), "fault": fault})


def _faults(demands: Demands) -> Iterator[tuple[str, str]]:
    """Yield the member of each unsound demand, and what is wrong with it."""
    zones, spectrum, basis, documents = demands.zones, demands.spectrum, demands.basis, demands.documents
    if zones is not None and zones.front is None and zones.back is None:
        yield "zones", "it names zones of neither front nor back teeth"
    if spectrum is not None and spectrum.from_nm >= spectrum.to_nm:
        yield "spectrum", "the range ends where it begins or before"
    if basis is not None and "unknown" in (basis.illuminant, basis.observer, *(basis.second_illuminants or ())):
        yield "basis", "an unknown light or observer cannot be asked for"
    if documents is not None and not (documents.reference_sets or documents.tolerances):
        yield "documents", "it names no kind of document"
    settling = demands.settling
    if settling is not None:
        parts = (settling.stability, settling.visit_days_apart, settling.visits_within)
        if None in parts and any(each is not None for each in parts):
            yield "settling", "two visits need days apart, a limit and how they count"


def waiver_code_unknown(matter: Matter) -> Iterator[Hit]:
    """A waiver names a rule that is not in the catalogue."""
    for index, waiver in _waivers(matter):
        if waiver.code is not None and waiver.code not in catalogue().rules:
            yield Hit(f"/waivers/{index}/code", {"code": waiver.code}, waiver.id)


def waiver_subject_unclear(matter: Matter) -> Iterator[Hit]:
    """A waiver names neither a rule nor a demand, or both."""
    for index, waiver in _waivers(matter):
        if (waiver.code is None) == (waiver.demand is None):
            found = "neither" if waiver.code is None else "both"
            yield Hit(f"/waivers/{index}", {"found": found}, waiver.id)


def waiver_place_unclear(matter: Matter) -> Iterator[Hit]:
    """A waiver names a place without the case, a member without its entry, or two places."""
    for index, waiver in _waivers(matter):
        fault = None
        if waiver.document is None and (waiver.entry_id or waiver.pointer):
            fault = "A place is named and no case"
        elif waiver.entry_id is not None and waiver.pointer is not None:
            fault = "Both an entry and a place outside entries are named"
        elif waiver.member is not None and waiver.entry_id is None:
            fault = "A member is named and no entry"
        if fault is not None:
            yield Hit(f"/waivers/{index}", {"fault": fault}, waiver.id)


def waiver_on_contradiction(matter: Matter) -> Iterator[Hit]:
    """A waiver lets a protected error stand."""
    for index, waiver in _waivers(matter):
        rule = catalogue().rules.get(waiver.code or "")
        if rule is not None and rule.severity == "error" and rule.code in catalogue().protected:
            yield Hit(f"/waivers/{index}/code", {"code": rule.code}, waiver.id)


def waiver_expired(matter: Matter) -> Iterator[Hit]:
    """The last day of a waiver lies before the moment that the check is made for."""
    as_of = matter.supplied.as_of or ""
    for index, waiver in _waivers(matter):
        if waiver.valid_until is not None and is_after(as_of, waiver.valid_until):
            params = {"until": waiver.valid_until, "as_of": as_of}
            yield Hit(f"/waivers/{index}/valid_until", params, waiver.id)


def _profile(matter: Matter) -> IntakeProfile:
    assert isinstance(matter.root, IntakeProfile)
    return matter.root


def _waivers(matter: Matter) -> Iterator[tuple[int, Waiver]]:
    assert isinstance(matter.root, WaiverList)
    yield from enumerate(matter.root.waivers)


RULES: Final[dict[str, Rule]] = {
    "profile-code-unknown": profile_code_unknown,
    "profile-code-repeated": profile_code_repeated,
    "profile-lowers-protected-rule": profile_lowers_protected_rule,
    "profile-demand-unsound": profile_demand_unsound,
    "waiver-code-unknown": waiver_code_unknown,
    "waiver-subject-unclear": waiver_subject_unclear,
    "waiver-place-unclear": waiver_place_unclear,
    "waiver-on-contradiction": waiver_on_contradiction,
    "waiver-expired": waiver_expired,
}
