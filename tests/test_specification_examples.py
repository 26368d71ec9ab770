"""The examples and worked figures of the specification: lines of the published cases, and right.

Means, variances and digests are worked out here; differences come from scikit-image, tristimulus values and two
indices from colour-science: independent implementations.
"""

import json
import re
import statistics
from collections.abc import Iterator, Sequence
from math import sqrt
from typing import Any, get_args

import pytest
from skimage.color import deltaE_ciede2000
from specification_text import EXAMPLES, FRONT_CROWN, SCHEMA, SPECIFICATION, case_lists, examples

from shadefmt import vocabulary
from shadefmt.checking import check
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import weights, white_point
from shadefmt.jsontext import file_form
from shadefmt.model import base
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.model.schema import schema_of


def ciede2000(standard: Sequence[float], trial: Sequence[float]) -> float:
    return float(deltaE_ciede2000(standard, trial))  # type: ignore[no-untyped-call]


def block_named(name: str) -> type[base.Block]:
    open_classes = [base.Block]
    for each in open_classes:
        open_classes += each.__subclasses__()
    return next(each for each in open_classes if each.__name__ == name)


def published(file: str) -> dict[str, Any]:
    made: dict[str, Any] = json.loads((SCHEMA / "1.0" / file).read_bytes())
    return made


def within(value: Any) -> Iterator[Any]:
    """Every value inside a document, the document first."""
    yield value
    for each in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from within(each)


def words() -> str:
    return " ".join(SPECIFICATION.read_text(encoding="utf-8").split())


def test_examples_fit_their_objects_in_the_order_of_the_tables() -> None:
    for kind in KINDS:
        model_of(kind)
    for name, _, value in examples():
        if name != "Extensions":
            assert json.dumps(block_named(name).model_validate(value).to_value()) == json.dumps(value), "order"


def test_every_root_list_of_a_case_has_an_example() -> None:
    assert set(case_lists()) <= {each.name for each in examples()}


def test_examples_are_entries_of_the_case_that_they_name() -> None:
    lists, of_cases = case_lists(), {"Extensions", *schema_of("case")["$defs"]}
    for name, file, value in examples():
        if file == FRONT_CROWN and name not in of_cases:
            continue  # stands in the text alone
        document = published(file)
        if name in lists:
            assert value in document[lists[name]], (name, value["id"])
        elif name in ("Privacy", "Subject", "Extensions"):
            assert value == document[name.lower()]
        else:
            assert any(value == each for each in within(document)), name


def test_examples_of_the_crown_are_whole_lists() -> None:
    """A reader can put the example case together from the text."""
    document = published(FRONT_CROWN)
    for name, member in case_lists().items():
        shown = [each.value for each in examples() if each.name == name and each.file == FRONT_CROWN]
        assert not shown or shown == document[member], name


def test_the_example_of_a_finding_is_what_a_checker_says() -> None:
    (finding,) = (each.value for each in examples() if each.name == "Finding")
    text = (EXAMPLES / "front-crown.shade.json").read_text(encoding="utf-8")
    stated, expected = finding["parameters"]["stated"], finding["parameters"]["expected"]
    (comparison,) = published(FRONT_CROWN)["comparisons"]
    right = f'"difference": {comparison["difference"]},'
    assert text.count(right) == 1
    report = check(text.replace(right, f'"difference": {stated},').encode())
    assert [each.to_value() for each in report.findings or ()] == [finding]
    labs = [tuple(mean["colour"]["lab"].values()) for mean in published(FRONT_CROWN)["means"]]
    assert ciede2000(*labs) == pytest.approx(expected, abs=5e-5)


def test_the_smallest_case_is_sound() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    block = re.search(r"The smallest case is .*?```json\n(.*?)\n```", text, flags=re.S)
    assert block
    report = check(file_form(json.loads(block[1])))
    assert (report.outcome, report.findings) == ("valid", None)


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
    astm = {
        "A": (109.850, 35.585, 111.144, 35.200),
        "D50": (96.422, 82.521, 96.720, 81.427),
        "D65": (95.047, 108.883, 94.811, 107.304),
    }
    for name, figures in astm.items():
        assert stated[name] == pytest.approx(figures, abs=2e-3)


def test_stated_colour_of_the_example_spectrum() -> None:
    spectrum = next(each.value for each in examples() if each.name == "Spectrum")
    table = weights("D65", "2-degree", spectrum["start_nm"], spectrum["step_nm"], len(spectrum["values"]))
    xyz = spectrum_to_xyz(spectrum["values"], table)
    lab = xyz_to_lab(xyz, table.white)
    assert "XYZ " + ", ".join(f"{each:.4f}" for each in xyz) in words()
    assert "CIELAB " + ", ".join(f"{each:.4f}" for each in lab) in words()


def test_stated_mean_and_spread() -> None:
    found = re.search(r"Example \(computed\): readings (.+?) have the mean (\S+), the MCDM (\S+) in", words())
    assert found
    labs = [tuple(map(float, each.split("/"))) for each in re.findall(r"[0-9./]+/[0-9./]+", found[1])]
    columns = list(zip(*labs, strict=True))
    mean = [statistics.fmean(column) for column in columns]
    assert list(map(float, found[2].split("/"))) == pytest.approx(mean, abs=5e-5)
    assert float(found[3]) == pytest.approx(statistics.fmean(ciede2000(mean, each) for each in labs), abs=5e-5)
    variances = re.search(r"and the variances (\S+), (\S+) and ([0-9.]+[0-9])", words())
    assert variances
    assert list(map(float, variances.groups())) == pytest.approx(
        [statistics.variance(column) for column in columns], abs=5e-6
    )


def test_stated_difference_and_direction() -> None:
    pattern = (
        r"standard (\S+) and trial (\S+) are ([0-9.]+) CIEDE2000 apart, ([0-9.]+) CIELAB; the direction is ([^:]+):"
    )
    found = re.search(pattern, words().replace("−", "-"))
    assert found
    one, other = (list(map(float, each.split("/"))) for each in found.groups()[:2])
    assert float(found[3]) == pytest.approx(ciede2000(one, other), abs=5e-4)
    assert float(found[4]) == pytest.approx(sqrt(sum((a - b) ** 2 for a, b in zip(one, other, strict=True))), abs=5e-4)
    L, a, b, C, H = map(float, found[5].split(", "))
    assert (L, a, b) == pytest.approx([two - first for first, two in zip(one, other, strict=True)], abs=0.005)
    assert pytest.approx(float(found[4]) ** 2, abs=0.02) == L * L + C * C + H * H
    assert (H < 0) == (one[1] * other[2] - one[2] * other[1] < 0)


def test_stated_uncertainty_near_zero() -> None:
    """The 95 % point of chi-square with 3 degrees of freedom: 7.815 in every table of it."""
    assert "2.795 *u*" in words()
    assert sqrt(7.815) == pytest.approx(2.795, abs=1e-3)
    found = re.search(r"components ([0-9.]+) and ([0-9.]+) with a coverage factor of 2 give ([0-9.]+), stated", words())
    assert found
    assert 2 * sqrt(float(found[1]) ** 2 + float(found[2]) ** 2) == pytest.approx(float(found[3]), abs=5e-5)
    near = re.search(r"The combined ([0-9.]+) times 2.795 is ([0-9.]+): .*? `expanded` ([0-9.]+)\.", words())
    assert near
    assert float(near[1]) * 2.795 == pytest.approx(float(near[2]), abs=5e-4)
    assert float(near[3]) == round(float(near[2]), 2)


@pytest.mark.usefixtures("quiet")
def test_stated_indices_are_those_of_an_independent_library(colour_science: Any) -> None:
    """CIE whiteness, tint and YI E313 by colour-science; WI_D and WIO by hand from its tristimulus values."""
    pattern = (
        r"Check \(computed\): ([0-9.]+)/([0-9.]+)/([0-9.]+) on D65 and the 2-degree observer has `WI_D` ([0-9.-]+), "
        r"`CIE-whiteness` ([0-9.-]+), `CIE-tint` ([0-9.-]+), `WIO` ([0-9.-]+) and `YI-E313` ([0-9.-]+)\."
    )
    found = re.search(pattern, words().replace("−", "-"))
    assert found
    L, a, b, dental, whiteness, tint, fitted, yellow = map(float, found.groups())
    assert 0.511 * L - 2.324 * a - 1.1 * b == pytest.approx(dental, abs=5e-4)
    white = colour_science.xy_to_XYZ(colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
    xyz = colour_science.Lab_to_XYZ([L, a, b], colour_science.XYZ_to_xy(white)) * 100
    x, y = colour_science.XYZ_to_xy(xyz)
    xn, yn = colour_science.XYZ_to_xy(white)
    W, T = colour_science.colorimetry.whiteness_CIE2004((x, y), xyz[1], (xn, yn))
    assert pytest.approx((whiteness, tint), abs=0.05) == (W, T)
    assert xyz[1] + 1075.012 * (xn - x) + 145.516 * (yn - y) == pytest.approx(fitted, abs=0.05)
    assert colour_science.colorimetry.yellowness_ASTME313(xyz) == pytest.approx(yellow, abs=0.05)
