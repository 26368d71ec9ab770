"""The published CIE tables: those that the package computes with, and those of an independent library."""

import csv
import importlib.util
import re
from pathlib import Path
from types import ModuleType
from typing import Any, get_args

import numpy as np
import pytest

from shadefmt import vocabulary

ROOT = Path(__file__).resolve().parent.parent
TABLES = ROOT / "schema" / "1.0" / "tables"
ERRORS = "adaptation-errors.csv"
OBSERVERS = {
    "2-degree": "CIE 1931 2 Degree Standard Observer",
    "10-degree": "CIE 1964 10 Degree Standard Observer",
}


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("spec_tables", ROOT / "scripts" / "generate_spec_tables.py")
    assert spec
    assert spec.loader
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def rows(name: str) -> tuple[list[str], Any]:
    with (TABLES / name).open(newline="", encoding="ascii") as stream:
        header, *lines = list(csv.reader(stream))
    return header, np.array(lines, dtype=float)


def test_published_tables_are_those_that_the_package_computes_with() -> None:
    there = {path.name: path.read_text(encoding="ascii") for path in TABLES.glob("*.csv")}
    assert there == script().expected(), "run: python -m scripts.generate_spec_tables"


def test_there_is_a_table_for_every_known_illuminant_and_observer() -> None:
    known = {f"illuminant-{each}.csv" for each in get_args(vocabulary.Illuminant) if each != "unknown"}
    known |= {f"observer-{each}.csv" for each in get_args(vocabulary.Observer) if each != "unknown"}
    assert {path.name for path in TABLES.glob("*.csv")} - {ERRORS} == known


def test_the_errors_of_adaptation_are_there_whole_and_the_specification_excerpts_them() -> None:
    """Every pair of conditions, both methods and both ranges; section 8.15 prints rows of the table, not others."""
    with (TABLES / ERRORS).open(newline="", encoding="ascii") as stream:
        lines = list(csv.DictReader(stream))
    conditions = {(each["illuminant"], each["observer"]) for each in lines}
    pairs = len(conditions) * (len(conditions) - 1)
    assert len(lines) == pairs * len({(each["method"], each["region"]) for each in lines})
    told = {
        (each["illuminant"], each["new_illuminant"]): f"| {each['mean']} | {each['p95']} | {each['largest']} | "
        f"{each['published_spectra']} and {each['synthetic_spectra']} |"
        for each in lines
        if {each["observer"], each["new_observer"]} == {"2-degree"}
        and (each["method"], each["region"]) == ("CAT16", "tooth-like")
    }
    text = (TABLES.parent / "README.md").read_text(encoding="utf-8")
    section = text.partition("### 8.15 ")[2].partition("## 9 ")[0]
    excerpt = re.findall(r"(?m)^\| ([A-Z][A-Z0-9-]*) \| ([A-Z][A-Z0-9-]*) (\| [0-9.]+ .*)$", section)
    assert len(excerpt) >= 6
    for first, second, rest in excerpt:
        assert told[first, second] == rest


@pytest.mark.parametrize("name", sorted(path.name for path in TABLES.glob("*.csv") if path.name != ERRORS))
def test_tables_have_a_header_and_a_row_for_every_nanometre_of_the_stated_range(name: str) -> None:
    header, values = rows(name)
    wanted = ["x_bar", "y_bar", "z_bar"] if name.startswith("observer") else ["relative_power"]
    assert header == ["wavelength_nm", *wanted]
    text = (TABLES / "README.md").read_text(encoding="utf-8")
    row = next(line for line in text.split("\n") if line.startswith("|") and f"`{name}`" in line)
    first, last = map(int, re.findall(r"\| ([0-9]+)-([0-9]+) \|", row)[0])
    assert list(values[:, 0]) == list(range(first, last + 1))
    assert (values[:, 1:] >= 0).all()


@pytest.mark.usefixtures("quiet")
@pytest.mark.parametrize("name", OBSERVERS)
def test_observers_are_those_of_an_independent_library(name: str, colour_science: Any) -> None:
    _, values = rows(f"observer-{name}.csv")
    published = colour_science.MSDS_CMFS[OBSERVERS[name]]
    assert np.array_equal(values[:, 1:], np.array(published.values))


@pytest.mark.usefixtures("quiet")
@pytest.mark.parametrize("name", [each for each in get_args(vocabulary.Illuminant) if each not in ("A", "unknown")])
def test_illuminants_meet_the_published_values_at_every_five_nanometres(name: str, colour_science: Any) -> None:
    """Published: CIE 15:2018 and ISO/CIE 11664-2, as colour-science carries them."""
    _, values = rows(f"illuminant-{name}.csv")
    stated = dict(values)
    published = colour_science.SDS_ILLUMINANTS[name]
    pairs = [(nm, power) for nm, power in zip(published.wavelengths, published.values, strict=True) if nm in stated]
    assert len(pairs) >= 80
    for nm, power in pairs:
        assert stated[nm] == pytest.approx(max(power, 0), abs=1e-6), nm


def test_illuminant_a_has_the_published_values() -> None:
    """ISO/CIE 11664-2, table of illuminant A (from memory): 9.795100 at 380 nm, 100 at 560 nm, 241.675 at 780 nm."""
    _, values = rows("illuminant-A.csv")
    stated = dict(values)
    assert stated[380] == pytest.approx(9.795100, abs=1e-6)
    assert stated[560] == 100
    assert stated[780] == pytest.approx(241.675, abs=5e-4)
