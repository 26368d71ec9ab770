import subprocess
import sys
from math import fsum
from pathlib import Path

import numpy as np
import pytest

import shadefmt.colour
from shadefmt.colour import tables
from shadefmt.colour.weights import white_point
from shadefmt.errors import WrongUse

DATA = Path(tables.__file__).parent / "data"

E308_WHITES = {
    # ASTM E308, last lines of its Table 5: X and Z of the perfect reflector, Y = 100.
    ("A", "2-degree"): (109.850, 35.585),
    ("A", "10-degree"): (111.144, 35.200),
    ("C", "2-degree"): (98.074, 118.232),
    ("C", "10-degree"): (97.285, 116.145),
    ("D50", "2-degree"): (96.422, 82.521),
    ("D50", "10-degree"): (96.720, 81.427),
    ("D55", "2-degree"): (95.682, 92.149),
    ("D55", "10-degree"): (95.799, 90.926),
    ("D65", "2-degree"): (95.047, 108.883),
    ("D65", "10-degree"): (94.811, 107.304),
    ("D75", "2-degree"): (94.972, 122.638),
    ("D75", "10-degree"): (94.416, 120.641),
    ("FL2", "2-degree"): (99.186, 67.393),
    ("FL2", "10-degree"): (103.279, 69.027),
    ("FL7", "2-degree"): (95.041, 108.747),
    ("FL7", "10-degree"): (95.792, 107.686),
    ("FL11", "2-degree"): (100.962, 64.350),
    ("FL11", "10-degree"): (103.863, 65.607),
}

CIE_CHROMATICITIES = {
    # CIE 15:2018, x and y for the 2 degree observer.
    "A": (0.44758, 0.40745),
    "C": (0.31006, 0.31616),
    "D50": (0.34567, 0.35851),
    "D55": (0.33243, 0.34744),
    "D65": (0.31272, 0.32903),
    "D75": (0.29903, 0.31488),
    "FL2": (0.3721, 0.3751),
    "FL7": (0.3129, 0.3292),
    "FL11": (0.3805, 0.3769),
    "LED-B3": (0.3756, 0.3723),
}


@pytest.mark.parametrize(("condition", "published"), E308_WHITES.items(), ids=lambda value: "/".join(map(str, value)))
def test_whites_are_those_of_astm_e308(condition, published):
    x, y, z = white_point(*condition)
    allowed = 0.0015 if not condition[0].startswith("FL") else 0.0065
    assert y == 100
    assert abs(x - published[0]) <= allowed
    assert abs(z - published[1]) <= allowed


@pytest.mark.parametrize(("name", "published"), CIE_CHROMATICITIES.items())
def test_chromaticities_are_those_of_cie_15(name, published):
    white = white_point(name, "2-degree")
    assert white[0] / sum(white) == pytest.approx(published[0], abs=6e-5)
    assert white[1] / sum(white) == pytest.approx(published[1], abs=6e-5)


def test_column_sums_of_the_matching_functions():
    # ISO/CIE 11664-1:2019, 360-830 nm at 1 nm.
    two, ten = tables.observer_table("2-degree"), tables.observer_table("10-degree")
    assert (fsum(two.x), fsum(two.y), fsum(two.z)) == pytest.approx((106.865469, 106.856917, 106.892251), abs=1e-6)
    assert (fsum(ten.x), fsum(ten.y), fsum(ten.z)) == pytest.approx(
        (116.648519508908, 116.661877102312, 116.673980514647), abs=1e-11
    )


def test_2_degree_observer_is_that_of_coloraide():
    coloraide = pytest.importorskip("coloraide.cmfs")
    table = tables.observer_table("2-degree")
    for index in range(471):
        ours = table.x[index], table.y[index], table.z[index]
        assert ours == tuple(coloraide.CIE_1931_2DEG[360 + index])


def test_d65_is_that_of_coloraide():
    d65 = pytest.importorskip("coloraide.illuminants").D65
    table = tables.illuminant_table("D65")
    for nm in range(360, 781, 5):
        assert table.power[nm - 360] == d65[nm]


def test_illuminant_a_is_100_at_560_nm_and_spans_the_range():
    table = tables.illuminant_table("A")
    assert table.power[560 - table.first_nm] == 100
    assert (table.first_nm, len(table.power)) == (360, 471)


@pytest.mark.parametrize("name", tables.ILLUMINANTS)
def test_powers_are_not_negative_and_reach_where_they_should(name):
    table = tables.illuminant_table(name)
    last = table.first_nm + len(table.power) - 1
    expected = (380, 780) if name.startswith(("FL", "LED")) else (360, 780) if name == "C" else (360, 830)
    assert (table.first_nm, last) == expected
    assert min(table.power) >= 0


def test_the_files_are_what_the_generator_writes(colour_science, script):
    generated = script("generate_cie_tables").tables(colour_science)
    present = {path.name for path in DATA.glob("*.csv")} - {"adaptation-errors.csv"}
    assert present == set(generated)
    for name, text in generated.items():
        stored = (DATA / name).read_text("ascii")
        assert stored.splitlines()[0] == text.splitlines()[0]
        ours, theirs = (
            np.array([line.split(",") for line in each.splitlines()[1:]], dtype=float) for each in (stored, text)
        )
        np.testing.assert_allclose(ours, theirs, rtol=0, atol=1.01e-6, err_msg=name)


def test_5_nm_values_are_those_that_colour_science_carries(colour_science):
    for name in tables.ILLUMINANTS:
        if name == "A":
            continue
        published = colour_science.SDS_ILLUMINANTS[name]
        table = tables.illuminant_table(name)
        for nm, power in zip(published.wavelengths, published.values, strict=True):
            if nm >= 360:
                assert table.power[int(nm) - table.first_nm] == pytest.approx(power, abs=1e-6), (name, nm)


@pytest.mark.usefixtures("quiet")
def test_what_the_readme_of_the_data_says_of_interpolation(colour_science, script):
    nm, spectra = script("measure_adaptation_error").synthetic_spectra(step_nm=1.0)
    fine = np.array([np.interp(np.arange(360, 831), nm, row) for row in spectra])
    functions = np.array(colour_science.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].values)

    def lab_and_white(power):
        white = power @ functions
        ratios = (fine * power) @ functions / white
        return colour_science.XYZ_to_Lab(ratios * white / white[1], white[:2] / white.sum()), 100 * white / white[1]

    def ours(name):
        power = np.zeros(471)
        table = tables.illuminant_table(name)
        power[table.first_nm - 360 :][: len(table.power)] = table.power
        return lab_and_white(power)

    for name in ("FL2", "FL7", "FL11", "LED-B3"):
        published = colour_science.SDS_ILLUMINANTS[name]
        sums = np.zeros(471)
        sums[np.array(published.wavelengths, dtype=int) - 360] = published.values
        assert colour_science.delta_E(ours(name)[0], lab_and_white(sums)[0], method="CIE 2000").max() < 0.003
    d50 = colour_science.SDS_ILLUMINANTS["D50"]
    linear = lab_and_white(np.interp(np.arange(360, 831), d50.wavelengths, d50.values))
    assert np.abs(ours("D50")[1] - linear[1]).max() == pytest.approx(0.012, abs=5e-4)
    assert colour_science.delta_E(ours("D50")[0], linear[0], method="CIE 2000").max() < 0.006


def test_daylight_formula_gives_the_published_tables(colour_science, script):
    # The tables of CIE 15:2018 end at 780 nm in colour-science; what continues them must agree below.
    generator = script("generate_cie_tables")
    components = colour_science.colorimetry.SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES
    tens = np.arange(300.0, 781.0, 10.0)
    s0, s1, s2 = (np.array(components[key][tens]) for key in ("S0", "S1", "S2"))
    for name, kelvin in generator.DAYLIGHTS.items():
        m1, m2 = generator.daylight_factors(kelvin)
        published = np.array(colour_science.SDS_ILLUMINANTS[name][tens])
        np.testing.assert_allclose(s0 + m1 * s1 + m2 * s2, published, rtol=0, atol=1e-3)


def test_d65_beyond_780_nm():
    # ISO/CIE 11664-2, table of D65 (values from memory).
    power = tables.illuminant_table("D65").power
    assert [power[nm - 360] for nm in range(780, 831, 10)] == pytest.approx(
        [63.3828, 64.3040, 59.4519, 51.9590, 57.4406, 60.3125], abs=1e-4
    )


@pytest.mark.parametrize("name", ["", "d65", "D60", "F2", "E", "../README", "unknown"])
def test_unknown_names_are_refused_with_the_known_ones(name):
    with pytest.raises(WrongUse, match="known are A, C, D50"):
        tables.illuminant_table(name)
    with pytest.raises(WrongUse, match="known are 2-degree, 10-degree"):
        tables.observer_table(name)


def test_the_plain_python_part_does_not_import_numpy():
    program = (
        "import sys, shadefmt.colour.single; from shadefmt.colour import adapt_lab, weights_at;"
        "adapt_lab((70, 1, 20), ('D65', '2-degree'), ('A', '2-degree'));"
        "assert 'numpy' not in sys.modules and 'colour' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_an_installation_without_its_tables_says_so(monkeypatch):
    monkeypatch.setattr("pkgutil.get_data", lambda package, name: None)
    with pytest.raises(WrongUse, match=r"without its table illuminant-A\.csv"):
        tables.illuminant_table.__wrapped__("A")


def test_every_public_name_loads_and_no_other_does():
    for name in shadefmt.colour.__all__:
        assert getattr(shadefmt.colour, name) is not None
        assert name in dir(shadefmt.colour)
    with pytest.raises(AttributeError, match="no attribute 'not_there'"):
        shadefmt.colour.not_there  # noqa: B018
