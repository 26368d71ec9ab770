"""The examples and worked figures of the specification: valid, of one piece, and right.

Means, variances and digests are worked out here; differences come from scikit-image, an independent implementation.
"""

import hashlib
import json
import re
import statistics
from collections.abc import Sequence
from math import fsum
from typing import get_args

import pytest
import rfc8785
from skimage.color import deltaE_ciede2000
from specification_text import CASE_ID, SPECIFICATION, example_case, examples, shapes

from shadefmt import vocabulary
from shadefmt.checking import check
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import weights, white_point
from shadefmt.jsontext import file_form
from shadefmt.model import base
from shadefmt.model.kinds import KINDS, model_of


def ciede2000(standard: Sequence[float], trial: Sequence[float]) -> float:
    return float(deltaE_ciede2000(standard, trial))  # type: ignore[no-untyped-call]


def block_named(name: str) -> type[base.Block]:
    open_classes = [base.Block]
    for each in open_classes:
        open_classes += each.__subclasses__()
    return next(each for each in open_classes if each.__name__ == name)


def test_examples_are_valid_and_there_is_one_for_every_root_list() -> None:
    for kind in KINDS:
        model_of(kind)
    seen = set()
    for name, value in examples():
        seen.add(name)
        if name != "Extensions":
            assert json.dumps(block_named(name).model_validate(value).to_value()) == json.dumps(value), "order"
    lists = {
        member["items"]["$ref"].rsplit("/", 1)[1]
        for member in shapes()["Case"]["properties"].values()
        if member.get("type") == "array" and "$ref" in member.get("items", {})
    }
    assert lists - {"ExtensionName"} <= seen


def test_example_entries_are_one_case() -> None:
    case = example_case()
    model_of("case").model_validate(case)
    ids = [match for match in re.findall(r'"id": "([^"]+)"', json.dumps(case)) if not match.startswith("urn:")]
    assert len(ids) == len(set(ids))
    named = re.findall(r'"\w+_id": "([^"]+)"', json.dumps(case))
    named += [
        each for group in re.findall(r'"\w+_ids": \[([^\]]+)\]', json.dumps(case)) for each in json.loads(f"[{group}]")
    ]
    assert len(named) > 30
    assert set(named) <= set(ids)


def test_example_numbers_follow_from_one_another() -> None:
    case = example_case()
    labs = {each["id"]: tuple(each["colours"][0]["lab"].values()) for each in case["readings"] if "colours" in each}
    for mean in case["means"]:
        columns = list(zip(*(labs[each] for each in mean["reading_ids"]), strict=True))
        stated = tuple(mean["colour"]["lab"].values())
        assert stated == pytest.approx([statistics.fmean(column) for column in columns], abs=0.005)
        labs[mean["id"]] = stated
    assert labs["mean-tooth-middle"] == tuple(case["targets"][0]["colour"]["lab"].values())
    spread = case["means"][0]["spread"]
    columns = list(zip(*(labs[each] for each in case["means"][0]["reading_ids"]), strict=True))
    assert [spread["var_L"], spread["var_a"], spread["var_b"]] == pytest.approx(
        [statistics.variance(column) for column in columns], abs=0.00005
    )
    assert spread["cov_Lb"] == pytest.approx(statistics.covariance(columns[0], columns[2]), abs=0.00005)


def test_example_difference_follows_from_the_example_colours() -> None:
    case = example_case()
    standard, trial = (tuple(mean["colour"]["lab"].values()) for mean in case["means"])
    comparison, direction = case["comparisons"][0], case["comparisons"][0]["direction"]
    parts = [direction[each] ** 2 for each in ("delta_L", "delta_C", "delta_H")]
    assert sum(parts) == pytest.approx(
        sum((one - other) ** 2 for one, other in zip(standard, trial, strict=True)), abs=0.03
    )
    assert ciede2000(standard, trial) == pytest.approx(comparison["difference"], abs=0.005)
    components = comparison["uncertainty"]["components"]
    assert 2 * fsum(each["standard_uncertainty"] ** 2 for each in components) ** 0.5 == pytest.approx(
        comparison["uncertainty"]["expanded"], abs=0.005
    )


def test_a_checker_finds_nothing_in_the_example_case() -> None:
    report = check(file_form(example_case()), as_of="2026-04-01")
    assert (report.outcome, report.partly_checked, report.findings) == ("valid", False, None)


def test_example_digest_is_that_of_the_first_revision() -> None:
    """The recipe of section 7.3 by hand: the first revision alone, over RFC 8785."""
    case = example_case()
    assert CASE_ID in SPECIFICATION.read_text(encoding="utf-8")
    first, second = case["revisions"]
    was = {name: item for name, item in case.items() if not isinstance(item, list)}
    was["revisions"] = [first]
    for name, item in case.items():
        if isinstance(item, list) and name != "revisions":
            kept = [each for each in item if each.get("revision_id", first["id"]) == first["id"]]
            was |= {name: kept} if kept else {}
    assert second["parents"] == [{"revision_id": first["id"], "sha256": hashlib.sha256(rfc8785.dumps(was)).hexdigest()}]


def test_check_values_are_those_of_an_independent_library() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8").replace("−", "-")
    number = r"(-?[0-9.]+)"
    triple = rf"{number}, {number}, {number}"
    rows = re.findall(rf"^\| {triple} \| {triple} \| {number} \|$", text, flags=re.M)
    assert len(rows) >= 6
    for row in rows:
        values = list(map(float, row))
        assert ciede2000(values[:3], values[3:6]) == pytest.approx(values[6], abs=5e-5)


def test_stated_white_points_are_computed_and_meet_astm() -> None:
    """Published: ASTM E308, bottom lines of its tables for A, D50 and D65 (typed from memory)."""
    text = SPECIFICATION.read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\S+) \| ([0-9.]+) \| ([0-9.]+) \| ([0-9.]+) \| ([0-9.]+) \|$", text, flags=re.M)
    stated = {row[0]: tuple(map(float, row[1:])) for row in rows}
    assert list(stated) == [each for each in get_args(vocabulary.Illuminant) if each != "unknown"]
    for name, figures in stated.items():
        two, ten = white_point(name, "2-degree"), white_point(name, "10-degree")
        assert figures == pytest.approx((two[0], two[2], ten[0], ten[2]), abs=5.1e-4)
    published = {
        "A": (109.850, 35.585, 111.144, 35.200),
        "D50": (96.422, 82.521, 96.720, 81.427),
        "D65": (95.047, 108.883, 94.811, 107.304),
    }
    for name, figures in published.items():
        assert stated[name] == pytest.approx(figures, abs=2e-3)


def test_stated_colour_of_the_example_spectrum() -> None:
    spectrum = next(value for name, value in examples() if name == "Spectrum")
    table = weights("D65", "2-degree", spectrum["start_nm"], spectrum["step_nm"], len(spectrum["values"]))
    xyz = spectrum_to_xyz(spectrum["values"], table)
    lab = xyz_to_lab(xyz, table.white)
    text = " ".join(SPECIFICATION.read_text(encoding="utf-8").split())
    assert "XYZ " + ", ".join(f"{each:.4f}" for each in xyz) in text
    assert "CIELAB " + ", ".join(f"{each:.4f}" for each in lab) in text
