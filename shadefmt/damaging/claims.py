"""Damage to what is claimed of the numbers: sessions, limits, ids, verdicts."""

import random

from shadefmt.damaging.damage import Damage, Place, Value, stump_means, stumps, verdicts


def retyped_difference(made: Damage, rng: random.Random) -> None:
    at = rng.randrange(len(made.case["comparisons"]))
    comparison = made.case["comparisons"][at]
    comparison["difference"] = round(comparison["difference"] + rng.choice((0.3, 0.9, 2.4)), 2)
    made.expected.add(("difference-disagrees", f"/comparisons/{at}/difference"))
    for place, verdict in enumerate(made.case["verdicts"]):
        if verdict["comparison_id"] == comparison["id"]:
            made.expected |= _judged_anew(made.case, place, verdict, comparison)


def _judged_anew(case: Value, place: int, verdict: Value, comparison: Value) -> set[Place]:
    """Return what no longer follows when a difference is another one."""
    tolerance = next(each for each in case["tolerances"] if each["id"] == verdict["tolerance_id"])
    size, expanded, limit = comparison["difference"], comparison["uncertainty"]["expanded"], tolerance["limit"]
    bounds = (round(limit - expanded, 9), limit, round(limit + expanded, 9))
    decisions = ("conforms", "conditionally-conforms", "conditionally-fails", "does-not-conform")
    decision = decisions[sum(size > bound for bound in bounds)]
    grades = tolerance["grades"]
    grade = grades[sum(size > each["at_most"] for each in grades if "at_most" in each)]["grade"]
    found = set()
    if decision != verdict["decision"]:
        found.add(("decision-disagrees-with-rule", f"/verdicts/{place}/decision"))
    if grade != verdict["grade"]:
        found.add(("grade-disagrees-with-difference", f"/verdicts/{place}/grade"))
    return found


def _session_of_stump(case: Value) -> tuple[int, Value]:
    wanted = case["readings"][stumps(case)[0]]["session_id"]
    return next((at, each) for at, each in enumerate(case["sessions"]) if each["id"] == wanted)


def _shared(case: Value) -> bool:
    """Return whether the session of the stump also holds the readings that targets rest on."""
    _, session = _session_of_stump(case)
    others = {each["session_id"] for at, each in enumerate(case["readings"]) if at not in stumps(case)}
    return session["id"] in others


def late_calibration(made: Damage, rng: random.Random) -> None:
    at, session = _session_of_stump(made.case)
    session["calibration"]["at"] = session["started"].replace("T09", f"T{rng.randrange(10, 20)}")
    made.expected.add(("calibration-after-reading", f"/sessions/{at}/calibration/at"))


def failed_calibration(made: Damage, rng: random.Random) -> None:
    at, session = _session_of_stump(made.case)
    session["calibration"]["result"] = "failed"
    code = "calibration-failed-in-verdict" if _shared(made.case) else "calibration-failed"
    made.expected.add((code, f"/sessions/{at}/calibration/result"))


def other_barrier(made: Damage, rng: random.Random) -> None:
    at, session = _session_of_stump(made.case)
    session["calibration"]["barrier_fitted"] = not session["barrier_fitted"]
    made.expected.add(("barrier-differs-from-calibration", f"/sessions/{at}/barrier_fitted"))


def other_formula(made: Damage, rng: random.Random) -> None:
    made.case["tolerances"][0]["formula"] = "CIELAB"
    made.expected |= {("tolerance-of-other-formula", f"{each}/tolerance_id") for each in verdicts(made.case)}


def other_tissue(made: Damage, rng: random.Random) -> None:
    made.case["tolerances"][0]["tissue"] = "skin"
    made.expected |= {("tolerance-of-other-tissue", f"{each}/tolerance_id") for each in verdicts(made.case)}


def late_agreement(made: Damage, rng: random.Random) -> None:
    made.case["tolerances"][0]["agreed_at"] = "2026-04-01"
    made.expected |= {("tolerance-agreed-after-reading", f"{each}/tolerance_id") for each in verdicts(made.case)}


def wrong_tooth(made: Damage, rng: random.Random) -> None:
    stump = next(each for each in made.case["specimens"] if each["kind"] == "stump")
    stump["tooth"] = rng.choice([each for each in ("12", "13", "22", "31") if each != stump["tooth"]])
    made.expected.add(("stump-of-other-tooth", "/prescriptions/0/stump_specimen_id"))


def dangling(made: Damage, rng: random.Random) -> None:
    at = rng.randrange(len(made.case["comparisons"]))
    made.case["comparisons"][at]["trial_id"] = "nothing-there"
    made.expected.add(("reference-dangling", f"/comparisons/{at}/trial_id"))


def reused(made: Damage, rng: random.Random) -> None:
    at = rng.choice(stump_means(made.case))
    first, *others = made.case["means"][at]["reading_ids"]
    taken = rng.choice(others)
    place = next(index for index, each in enumerate(made.case["readings"]) if each["id"] == taken)
    made.case["readings"][place]["id"] = first
    spot = made.case["means"][at]["reading_ids"].index(taken)
    made.expected |= {
        ("id-reused", f"/readings/{place}/id"),
        ("reference-dangling", f"/means/{at}/reading_ids/{spot}"),
    }


def other_digest(made: Damage, rng: random.Random) -> None:
    parent = made.case["revisions"][1]["parents"][0]
    parent["sha256"] = "".join(rng.choice("0123456789abcdef") for _ in range(64))
    made.expected.add(("revision-digest-differs", "/revisions/1/parents/0/sha256"))


def copied_reference(made: Damage, rng: random.Random) -> None:
    reference = rng.choice(made.case["reference_sets"][0]["references"])
    reading = {
        "id": "reading-typed",
        "revision_id": made.case["revisions"][1]["id"],
        "specimen_id": next(each["id"] for each in made.case["specimens"] if each["kind"] == "restoration"),
        "zone": "whole",
        "state": "glazed",
        "colours": [{**reference["colour"], "origin": "instrument"}],
    }
    made.case["readings"].append(reading)
    place = len(made.case["readings"]) - 1
    made.expected.add(("reading-equals-reference", f"/readings/{place}/colours/0"))


def mixed_geometry(made: Damage, rng: random.Random) -> None:
    made.case["instruments"][-1]["geometry"] = rng.choice(("d:8", "8:d", "d:0"))
    made.expected |= {("geometry-differs-in-verdict", each) for each in verdicts(made.case)}


def record_number(made: Damage, rng: random.Random) -> None:
    made.case["subject"]["pseudonym"] = str(rng.randrange(100_000, 10_000_000))
    made.expected.add(("subject-looks-like-record-number", "/subject/pseudonym"))


def turned_verdict(made: Damage, rng: random.Random) -> None:
    places = [at for at, each in enumerate(made.case["verdicts"]) if each["decision"] != "conforms"]
    at = rng.choice(places)
    made.case["verdicts"][at]["decision"] = "conforms"
    made.expected.add(("decision-disagrees-with-rule", f"/verdicts/{at}/decision"))


def turned_direction(made: Damage, rng: random.Random) -> None:
    at = rng.randrange(len(made.case["comparisons"]))
    direction = made.case["comparisons"][at]["direction"]
    direction["delta_L"] = -direction["delta_L"]
    made.expected.add(("direction-disagrees", f"/comparisons/{at}/direction/delta_L"))
    made.cause = "sign"


def narrow_uncertainty(made: Damage, rng: random.Random) -> None:
    places = [at for at, each in enumerate(made.case["comparisons"]) if each["uncertainty"]["method"] == "linear"]
    at = rng.choice(places)
    uncertainty = made.case["comparisons"][at]["uncertainty"]
    uncertainty["components"] = [each for each in uncertainty["components"] if each["source"] != "inter-instrument"]
    made.expected.add(("uncertainty-disagrees-with-components", f"/comparisons/{at}/uncertainty/expanded"))
    made.expected.add(("instruments-unbridged-in-verdict", f"/verdicts/{at}"))


def moved_target(made: Damage, rng: random.Random) -> None:
    at = rng.randrange(len(made.case["targets"]))
    target = made.case["targets"][at]
    target["source_kind"] = "measured-tooth"
    target["specimen_id"] = next(each["id"] for each in made.case["specimens"] if each["kind"] == "stump")
    for place, comparison in enumerate(made.case["comparisons"]):
        if comparison["standard_id"] == target["id"]:
            made.expected.add(("comparison-of-other-specimen", f"/comparisons/{place}/trial_id"))
