"""Every published example: sound, with the findings that its story is about and no other, and right in its numbers.

Differences come from scikit-image, digests from the rfc8785 library; means, spreads, uncertainties, indices, offsets
and worst decisions are worked out here.
"""

import hashlib
import importlib
import json
import re
import statistics
from collections import Counter
from collections.abc import Sequence
from math import sqrt
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import rfc8785
from skimage.color import deltaE_ciede2000

from shadefmt.checking import check

Value = dict[str, Any]
Lab = tuple[float, ...]

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "schema" / "1.0" / "examples"
MAP = ROOT / "schema" / "README.md"
AS_OF = "2026-06-15"
"""Later than everything that happens in the examples, earlier than their waivers end."""

EXPECTED = {
    "pictures-only": {"prescription-target-missing": 1},
    "returned-as-too-bright": {"isolation-too-long": 3, "hydration-differs-in-comparison": 1},
    "milled-molar": {"verdict-about-reference-not-tooth": 1},
    "tabs-at-the-chair": {"verdict-about-reference-not-tooth": 1},
}
"""What a checker has to say of an example, by code: the point of its story. Every other one is without findings."""


def texts() -> dict[str, bytes]:
    """Every example document by name; those of an archive by line."""
    found = {path.name.removesuffix(".shade.json"): path.read_bytes() for path in EXAMPLES.rglob("*.shade.json")}
    for path in EXAMPLES.rglob("*.shade.ndjson"):
        for number, line in enumerate(path.read_bytes().splitlines(), start=1):
            found[f"{path.name.removesuffix('.shade.ndjson')}:{number}"] = line
    return found


TEXTS = texts()
DOCUMENTS: dict[str, Value] = {name: json.loads(data) for name, data in TEXTS.items()}
CASES = {name: value for name, value in DOCUMENTS.items() if value["kind"] == "case"}


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_a_checker_finds_what_the_story_is_about_and_nothing_else(name: str) -> None:
    report = check(TEXTS[name], as_of=AS_OF)
    assert report.outcome == "valid"
    assert not report.partly_checked
    assert dict(Counter(each.code for each in report.findings or ())) == EXPECTED.get(name, {})


def test_the_map_lists_every_situation_with_its_findings() -> None:
    """`schema/README.md` names a file for each of the eighteen situations, and what a checker says of it."""
    rows = re.findall(r"^\| ([0-9]+) \| .* \| (.*) \| (.*)\|$", MAP.read_text(encoding="utf-8"), flags=re.M)
    assert [int(row[0]) for row in rows] == list(range(1, 19))
    named = set()
    for _, files, findings in rows:
        paths = [MAP.parent / each for each in re.findall(r"\]\(([^)]+)\)", files)]
        assert paths
        names = {path.name.partition(".")[0] for path in paths}
        assert set(re.findall(r"`([a-z-]+)`", findings)) == {code for each in names for code in EXPECTED.get(each, {})}
        named |= {path.name for path in paths if path.parent.name == "situations"}
    assert named == {path.name for path in (EXAMPLES / "situations").iterdir()}


def test_pinned_documents_are_the_published_ones() -> None:
    digests = {value["id"]: hashlib.sha256(rfc8785.dumps(value)).hexdigest() for value in DOCUMENTS.values()}
    pins = [
        each["document"]
        for case in CASES.values()
        for name in ("reference_sets", "tolerances")
        for each in case.get(name, [])
        if "document" in each
    ]
    pins += [value["replaces"] for value in DOCUMENTS.values() if "replaces" in value]
    assert len(pins) >= 5
    for pin in pins:
        assert digests[pin["id"]] == pin["sha256"]


def test_digests_of_earlier_states_follow_the_recipe_of_the_specification() -> None:
    """Section 7.3 by hand, over RFC 8785."""
    seen = 0
    for case in CASES.values():
        revisions = {each["id"]: each for each in case.get("revisions", [])}
        for revision in revisions.values():
            for parent in revision.get("parents", []):
                was = as_it_was(case, revisions, parent["revision_id"])
                assert hashlib.sha256(rfc8785.dumps(was)).hexdigest() == parent["sha256"]
                seen += 1
    assert seen >= 3


def as_it_was(case: Value, revisions: dict[str, Value], at: str) -> Value:
    kept, more = {at}, [at]
    while more:
        more = [parent["revision_id"] for each in more for parent in revisions[each].get("parents", [])]
        kept |= set(more)
    was: Value = {}
    for name, item in case.items():
        if name == "revisions":
            was[name] = [each for each in item if each["id"] in kept]
        elif isinstance(item, list) and name != "extensions_required":
            entries = [each for each in item if each.get("revision_id", next(iter(revisions))) in kept]
            was |= {name: entries} if entries else {}
        else:
            was[name] = item
    return was


def ciede2000(standard: Sequence[float], trial: Sequence[float]) -> float:
    return float(deltaE_ciede2000(standard, trial))  # type: ignore[no-untyped-call]


def stated(entry: Value, basis: tuple[str, str]) -> Lab:
    """Colour of an entry on a basis; the instrument's own before others."""
    colours = [entry["colour"]] if "colour" in entry else entry["colours"]
    fitting = [each for each in colours if (each["illuminant"], each["observer"]) == basis]
    order = ("instrument", "computed", "typed", "copied")
    best = min(fitting, key=lambda each: order.index(each["origin"]))
    return tuple(best["lab"].values())


def coloured(case: Value) -> dict[str, Value]:
    """Entries and references with colours, by id."""
    lists = ("readings", "computed_colours", "means", "targets")
    found = {each["id"]: each for name in lists for each in case.get(name, [])}
    return found | {each["id"]: each for owner in case.get("reference_sets", []) for each in owner["references"]}


def basis_of(entry: Value) -> tuple[str, str]:
    return entry["illuminant"], entry["observer"]


@pytest.mark.parametrize("name", sorted(each for each in CASES if "means" in CASES[each]))
def test_means_and_spreads_follow_from_the_readings(name: str) -> None:
    entries = coloured(CASES[name])
    for mean in CASES[name]["means"]:
        labs = [stated(entries[each], basis_of(mean["colour"])) for each in mean["reading_ids"]]
        columns = list(zip(*labs, strict=True))
        exact = [statistics.fmean(column) for column in columns]
        assert list(mean["colour"]["lab"].values()) == pytest.approx(exact, abs=0.005001)
        spread = mean["spread"]
        assert spread["mcdm"] == pytest.approx(statistics.fmean(ciede2000(exact, each) for each in labs), abs=6e-5)
        variances = [statistics.variance(column) for column in columns]
        assert [spread["var_L"], spread["var_a"], spread["var_b"]] == pytest.approx(variances, abs=5.1e-5)
        assert spread["cov_Lb"] == pytest.approx(statistics.covariance(columns[0], columns[2]), abs=5.1e-5)


@pytest.mark.parametrize("name", sorted(each for each in CASES if "comparisons" in CASES[each]))
def test_differences_and_directions_follow_from_the_colours(name: str) -> None:
    entries = coloured(CASES[name])
    for comparison in CASES[name]["comparisons"]:
        one, other = (stated(entries[comparison[f"{side}_id"]], basis_of(comparison)) for side in ("standard", "trial"))
        assert comparison["difference"] == pytest.approx(ciede2000(one, other), abs=0.005001)
        turn = [comparison["direction"][f"delta_{each}"] for each in "Lab"]
        assert turn == pytest.approx([b - a for a, b in zip(one, other, strict=True)], abs=0.005001)
        if "uncertainty" in comparison:
            uncertain(comparison["uncertainty"], comparison["difference"])


def uncertain(stated_: Value, difference: float) -> None:
    """JCGM 100, 5.1.2; near zero the 95 % point of chi-square with 3 degrees of freedom, 7.815 in every table."""
    whole = sqrt(sum(each["standard_uncertainty"] ** 2 for each in stated_["components"]))
    near = difference <= sqrt(7.815) * whole
    assert stated_["method"] == ("bounded" if near else "linear")
    factor = sqrt(7.815) if near else stated_["coverage_factor"]
    assert stated_["expanded"] == pytest.approx(factor * whole, abs=0.0051)


def test_indices_effects_offsets_and_conclusions_follow() -> None:
    worst = ["does-not-conform", "conditionally-fails", "cannot-be-compared", "conditionally-conforms", "not-judged"]
    seen: Counter[str] = Counter()
    for case in CASES.values():
        entries = coloured(case)
        for index in case.get("indices", []):
            L, a, b = stated(entries[index["of_id"]], basis_of(index))
            assert index["index"] == "WI_D"
            assert index["value"] == pytest.approx(0.511 * L - 2.324 * a - 1.1 * b, abs=0.005001)
        indices = {each["id"]: each["value"] for each in case.get("indices", [])}
        for effect in case.get("effects", []):
            if "change" in effect:
                change = indices[effect["index_after_id"]] - indices[effect["index_before_id"]]
                assert effect["change"] == pytest.approx(change, abs=1e-9)
        for bridge in case.get("bridges", []):
            sides = [
                [stated(entries[pair[f"{side}_id"]], basis_of(bridge)) for pair in bridge["pairs"]]
                for side in ("first", "second")
            ]
            first, second = ([statistics.fmean(column) for column in zip(*labs, strict=True)] for labs in sides)
            offset = [b - a for a, b in zip(first, second, strict=True)]
            assert list(bridge["offset"].values()) == pytest.approx(offset, abs=0.005001)
        decisions = {each["id"]: each["decision"] for each in case.get("verdicts", [])}
        for conclusion in case.get("conclusions", []):
            found = {decisions[each] for each in conclusion["verdict_ids"]}
            assert conclusion["decision"] == next((each for each in worst if each in found), "conforms")
        seen.update({name: len(case.get(name, [])) for name in ("indices", "effects", "bridges", "conclusions")})
    assert min(seen.values()) >= 1
    assert len(seen) == 4


def test_translucencies_follow_from_their_colours() -> None:
    seen = 0
    for case in CASES.values():
        entries = coloured(case)
        for each in case.get("translucencies", []):
            white, black = (stated(entries[each[f"over_{side}_id"]], basis_of(each)) for side in ("white", "black"))
            assert each["difference"] == pytest.approx(ciede2000(white, black), abs=0.005001)
            ratio = ((black[0] + 16) / (white[0] + 16)) ** 3  # CIELAB turned round, L* above 8
            assert each["contrast_ratio"] == pytest.approx(ratio, abs=0.005001)
            seen += 1
    assert seen >= 1


@pytest.mark.parametrize("name", ["make_example_case", "make_example_course"])
def test_the_written_example_cases_are_fresh(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    module = script(name, monkeypatch)
    assert module.TARGET.read_bytes() == module.expected(), f"run: python -m scripts.{name}"


def test_the_written_situations_are_fresh_and_no_file_is_left_over(monkeypatch: pytest.MonkeyPatch) -> None:
    expected = script("make_example_situations", monkeypatch).expected()
    there = {path.name: path.read_bytes() for path in (EXAMPLES / "situations").iterdir()}
    assert there == expected, "run: python -m scripts.make_example_situations"


def script(name: str, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(ROOT))
    return importlib.import_module(f"scripts.{name}")
