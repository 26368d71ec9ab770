import json
from math import fsum
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shadefmt.colour import weights as module
from shadefmt.colour.grids import lagrange_coefficients
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.tables import ILLUMINANTS, OBSERVERS, illuminant_table, observer_table
from shadefmt.colour.weights import weights, weights_at, weights_of_spd, white_point
from shadefmt.errors import WrongUse

E308 = json.loads((Path(__file__).parent / "data" / "e308-weights.json").read_text("utf-8"))

CONDITIONS = [(name, observer) for name in ILLUMINANTS for observer in OBSERVERS]

conditions = st.sampled_from(CONDITIONS)


@st.composite
def even_grids(draw):
    step = draw(st.sampled_from([1, 2, 3, 5, 10, 20]) | st.floats(0.5, 20))
    start = draw(st.integers(360, 430) | st.floats(360, 430))
    end = draw(st.floats(start + 3 * step, 830))
    return start, step, int((end - start) / step) + 1


@st.composite
def uneven_grids(draw):
    wavelengths = [draw(st.floats(360, 420))]
    for gap in draw(st.lists(st.floats(1.01, 20), min_size=3, max_size=60)):
        wavelengths.append(wavelengths[-1] + gap)
    return tuple(nm for nm in wavelengths if nm <= 830)


def spelled_out(grids):
    return grids.map(lambda grid: tuple(grid[0] + grid[1] * index for index in range(grid[2])))


def columns(factors):
    return np.array([factors.x, factors.y, factors.z]).T


def one_nm_sum(condition, reflectance):
    """XYZ by plain summation at 1 nm, from the tables."""
    light, eye = illuminant_table(condition[0]), observer_table(condition[1])
    begin = light.first_nm - eye.first_nm
    nm = range(light.first_nm, light.first_nm + len(light.power))
    matching = [column[begin : begin + len(light.power)] for column in (eye.x, eye.y, eye.z)]
    scale = 100 / fsum(power * y for power, y in zip(light.power, matching[1], strict=True))
    return [
        scale * fsum(p * m * reflectance(at) for p, m, at in zip(light.power, column, nm, strict=True))
        for column in matching
    ]


def test_inner_lagrange_coefficients_of_e2022():
    # ASTM E2022-11, table for an interval of 10 nm inside.
    published = [
        (-0.0285, 0.9405, 0.1045, -0.0165),
        (-0.0480, 0.8640, 0.2160, -0.0320),
        (-0.0595, 0.7735, 0.3315, -0.0455),
        (-0.0640, 0.6720, 0.4480, -0.0560),
        (-0.0625, 0.5625, 0.5625, -0.0625),
        (-0.0560, 0.4480, 0.6720, -0.0640),
        (-0.0455, 0.3315, 0.7735, -0.0595),
        (-0.0320, 0.2160, 0.8640, -0.0480),
        (-0.0165, 0.1045, 0.9405, -0.0285),
    ]
    for nm, row in enumerate(published, 411):
        assert lagrange_coefficients((400, 410, 420, 430), nm) == pytest.approx(row, abs=1e-12)


def test_outer_lagrange_coefficients_of_e2022():
    # ASTM E2022-11, table for an interval of 10 nm at either end.
    published = [
        (0.8550, 0.1900, -0.0450),
        (0.7200, 0.3600, -0.0800),
        (0.5950, 0.5100, -0.1050),
        (0.4800, 0.6400, -0.1200),
        (0.3750, 0.7500, -0.1250),
        (0.2800, 0.8400, -0.1200),
        (0.1950, 0.9100, -0.1050),
        (0.1200, 0.9600, -0.0800),
        (0.0550, 0.9900, -0.0450),
    ]
    for offset, row in enumerate(published, 1):
        assert lagrange_coefficients((400, 410, 420), 400 + offset) == pytest.approx(row, abs=1e-12)
        assert lagrange_coefficients((420, 410, 400), 420 - offset) == pytest.approx(row, abs=1e-12)


@pytest.mark.parametrize("table", E308["tables"], ids=lambda t: f"{t['illuminant']}-{t['start_nm']}-{t['step_nm']}")
def test_weights_of_e308(table):
    published = np.array(table["rows"])
    factors = weights(table["illuminant"], table["observer"], table["start_nm"], table["step_nm"], len(published))
    # Folded rows are sums of rounded ones, so their last digit is not certain.
    np.testing.assert_allclose(columns(factors)[1:-1], published[1:-1], rtol=0, atol=0.00051)
    np.testing.assert_allclose(columns(factors)[[0, -1]], published[[0, -1]], rtol=0, atol=0.0021)


@pytest.mark.parametrize("step", [5, 10, 20])
@pytest.mark.parametrize("name", ILLUMINANTS)
@pytest.mark.usefixtures("quiet")
def test_weights_are_those_of_colour_science(colour_science, name, step):
    light = illuminant_table(name)
    last = light.first_nm + len(light.power) - 1
    shape = colour_science.SpectralShape(light.first_nm, last, 1)
    power = colour_science.SpectralDistribution(light.power, shape)
    for observer in OBSERVERS:
        eye = observer_table(observer)
        begin = light.first_nm - eye.first_nm
        functions = np.array([eye.x, eye.y, eye.z]).T[begin : begin + len(light.power)]
        theirs = colour_science.colorimetry.tristimulus_weighting_factors_ASTME2022(
            colour_science.MultiSpectralDistributions(functions, shape),
            power,
            colour_science.SpectralShape(light.first_nm, last, step),
        )
        ours = weights(name, observer, light.first_nm, step, (last - light.first_nm) // step + 1)
        np.testing.assert_allclose(columns(ours), theirs, rtol=0, atol=1e-9)


def interpolated_sum(condition, grid, values):
    """XYZ the long way: polynomials through the points bring the spectrum to 1 nm, where it is summed."""
    light = illuminant_table(condition[0])
    first, last = light.first_nm, light.first_nm + len(light.power) - 1
    low, high = grid[1] - grid[0], grid[-1] - grid[-2]
    before = np.arange(grid[0] - low, first - 1e-9, -low)[::-1]
    after = np.arange(grid[-1] + high, last + 1e-9, high)
    nodes = np.concatenate([before, grid, after])
    known = np.concatenate([np.full(len(before), values[0]), values, np.full(len(after), values[-1])])

    def reflectance(nm):
        if nm <= nodes[0] or nm >= nodes[-1]:
            return known[0] if nm <= nodes[0] else known[-1]
        right = int(np.searchsorted(nodes, nm, side="right"))
        chosen = slice(max(right - 2, 0), min(right + 2, len(nodes)))
        powers = np.vander((nodes[chosen] - nm) / 20, increasing=True)
        return float(np.linalg.solve(powers, known[chosen])[0])

    return one_nm_sum(condition, reflectance)


@settings(max_examples=40, deadline=None)
@given(conditions, uneven_grids() | spelled_out(even_grids()), st.randoms())
def test_weighting_is_interpolating_and_summing(condition, grid, random):
    values = [random.random() for _ in grid]
    expected = interpolated_sum(condition, np.array(grid), np.array(values))
    assert spectrum_to_xyz(values, weights_at(*condition, grid)) == pytest.approx(expected, abs=1e-6)


@given(conditions, st.sampled_from([(400, 31), (393, 32), (360, 48), (380, 36)]))
def test_an_uneven_grid_that_happens_to_be_even_gives_the_even_weights(condition, grid):
    # Wavelengths off by a billionth take another path through the arithmetic, to the same factors.
    start, count = grid
    even = weights(*condition, start, 10, count)
    nearly = weights_at(*condition, [start + 10 * index + 1e-9 * (-1) ** index for index in range(1, count - 1)])
    inner = weights(*condition, start + 10, 10, count - 2)
    np.testing.assert_allclose(columns(nearly), columns(inner), rtol=0, atol=1e-6)
    assert even.white == inner.white


@given(conditions, even_grids())
def test_perfect_reflector_is_exactly_100_0_0(condition, grid):
    factors = weights(*condition, *grid)
    lab = xyz_to_lab(spectrum_to_xyz([1.0] * grid[2], factors), factors.white)
    assert lab == (100.0, 0.0, 0.0)


@given(conditions, uneven_grids())
def test_perfect_reflector_is_exactly_100_0_0_on_uneven_grids(condition, grid):
    factors = weights_at(*condition, grid)
    lab = xyz_to_lab(spectrum_to_xyz([1.0] * len(grid), factors), factors.white)
    assert lab == (100.0, 0.0, 0.0)


@given(conditions, even_grids() | uneven_grids().map(lambda grid: (grid,)))
def test_folding_keeps_the_column_sums(condition, grid):
    factors = weights(*condition, *grid) if len(grid) == 3 else weights_at(*condition, *grid)
    assert factors.white == pytest.approx(white_point(*condition), abs=1e-10)
    assert np.sum(columns(factors), axis=0) == pytest.approx(white_point(*condition), abs=1e-10)


@pytest.mark.parametrize("condition", CONDITIONS)
def test_white_is_the_same_to_the_last_bit_on_practical_grids(condition):
    for start in (360, 380, 393, 400):
        for step in (1, 3.3333, 5, 10, 20):
            for end in (700, 730, 780, 830):
                factors = weights(*condition, start, step, int((end - start) / step) + 1)
                assert factors.white == white_point(*condition)


@given(conditions, uneven_grids(), st.tuples(st.floats(-1, 1), st.floats(-1, 1)))
def test_parabolas_come_out_as_by_summation_at_1_nm(condition, grid, bends):
    # Lagrange interpolation is exact for parabolas wherever the grid reaches: to where the light ends.
    light = illuminant_table(condition[0])
    last = light.first_nm + len(light.power) - 1
    inside = [nm for nm in grid if light.first_nm + 1 <= nm <= last - 1]
    full = _filled([float(light.first_nm), *inside, float(last)])

    def reflectance(nm):
        offset = (nm - 550) / 300
        return 0.5 + bends[0] * offset + bends[1] * offset**2

    factors = weights_at(*condition, full)
    expected = one_nm_sum(condition, reflectance)
    assert spectrum_to_xyz([reflectance(nm) for nm in full], factors) == pytest.approx(expected, abs=1e-8)


def _filled(grid):
    filled = [grid[0]]
    for nm in grid[1:]:
        pieces = int((nm - filled[-1]) / 20) + 1
        filled += [filled[-1] + (nm - filled[-1]) * part / pieces for part in range(1, pieces)] + [nm]
    return filled


@given(conditions, even_grids())
def test_what_was_not_measured_counts_as_the_end_values(condition, grid):
    # A step at a wavelength of the grid: the share of the white below it is what folding must carry.
    factors = weights(*condition, *grid)
    light = illuminant_table(condition[0])
    last = light.first_nm + len(light.power) - 1
    first_measured, last_measured = factors.wavelengths[0], factors.wavelengths[-1]
    assert factors.folded_below_nm == pytest.approx(max(0, first_measured - light.first_nm), abs=1e-9)
    assert factors.folded_above_nm == pytest.approx(max(0, last - last_measured), abs=1e-9)
    outside = one_nm_sum(condition, lambda nm: 0.0 if first_measured <= nm <= last_measured else 1.0)
    for share, part, total in zip(factors.folded_share, outside, white_point(*condition), strict=True):
        assert share == pytest.approx(part / total, abs=1e-12)


def test_folding_of_a_typical_range_by_hand():
    # From the published 20 nm table of D65 and the 2 degree observer: 360, 380 and 400 nm go to 400 nm.
    full, short = (weights("D65", "2-degree", start, 20, count) for start, count in ((360, 24), (400, 16)))
    assert short.z[0] == pytest.approx(full.z[0] + full.z[1] + full.z[2], abs=1e-12)
    assert short.x[-1] == pytest.approx(sum(full.x[17:]), abs=1e-12)
    assert short.x[1:-1] == full.x[3:17]
    assert (short.folded_below_nm, short.folded_above_nm) == (40, 130)


@pytest.mark.parametrize("condition", CONDITIONS)
def test_one_nanometre_weights_are_the_products(condition):
    factors = weights(*condition, 360, 1, 471)
    light, eye = illuminant_table(condition[0]), observer_table(condition[1])
    begin = light.first_nm - 360
    products = np.zeros((471, 3))
    products[begin : begin + len(light.power)] = (
        np.array([eye.x, eye.y, eye.z]).T[begin : begin + len(light.power)] * np.array(light.power)[:, None]
    )
    np.testing.assert_allclose(columns(factors), products * 100 / products[:, 1].sum(), rtol=0, atol=1e-12)


def test_halving_the_step_changes_smooth_spectra_less_and_less():
    # Published size of the 10 nm and 20 nm errors: none known; the order is what theory demands.
    def reflectance(nm):
        return 0.2 + 0.6 / (1 + np.exp(-(nm - 480) / 25))

    exact = one_nm_sum(("D65", "10-degree"), reflectance)
    errors = []
    for step in (20, 10, 5, 2):
        grid = np.arange(360, 831, step)
        xyz = spectrum_to_xyz([reflectance(nm) for nm in grid], weights("D65", "10-degree", 360, step, len(grid)))
        errors.append(max(abs(a - b) for a, b in zip(xyz, exact, strict=True)))
    assert errors == sorted(errors, reverse=True)
    assert errors[1] < 0.005


def test_own_light_that_is_a_cie_one_gives_its_weights():
    for name in ("A", "D65", "FL11"):
        light = illuminant_table(name)
        nm = range(light.first_nm, light.first_nm + len(light.power))
        for grid in (range(400, 701, 10), [400, 405, 420, 433, *range(450, 741, 15)]):
            own = weights_of_spd(nm, [3.7 * power for power in light.power], "10-degree", grid)
            cie = weights_at(name, "10-degree", grid)
            np.testing.assert_allclose(columns(own), columns(cie), rtol=0, atol=1e-10)
            assert own.illuminant == "own"


def test_own_light_is_linear_between_its_wavelengths():
    # Illuminant D65 at 5 nm, interpolated linearly, is its 1 nm table (ISO/CIE 11664-2).
    light = illuminant_table("D65")
    coarse = weights_of_spd(range(360, 831, 5), light.power[::5], "2-degree", range(380, 731, 10))
    np.testing.assert_allclose(columns(coarse), columns(weights("D65", "2-degree", 380, 10, 36)), rtol=0, atol=1e-6)


def test_own_light_known_in_part_sums_over_that_part():
    light = weights_of_spd([399.5, 700.5], [1, 1], "2-degree", range(400, 701, 10))
    eye = observer_table("2-degree")
    expected = 100 * fsum(eye.x[40:341]) / fsum(eye.y[40:341])
    assert light.white[0] == pytest.approx(expected, abs=1e-10)
    assert light.folded_share == (0, 0, 0)


@pytest.mark.parametrize(
    ("nm", "powers", "message"),
    [
        ([400, 700], [1], "1 powers"),
        ([400], [1], "two or more"),
        ([400, 700, 700], [1, 1, 1], "not ascending at index 2"),
        ([410, 700], [1, 1], "from 400 to 700"),
        ([400, 690], [1, 1], "from 400 to 700"),
        ([400, 550, 700], [1, -0.1, 1], "negative"),
        ([400, 550, 700], [1, float("nan"), 1], "not a number"),
        ([400, float("inf")], [1, 1], "not ascending"),
        ([400, 700], [0, 0], "all are zero"),
        ([400, 659, 660, 700], [0, 0, 1, 1], "no power"),
    ],
)
def test_faulty_lights_are_refused(nm, powers, message):
    with pytest.raises(WrongUse, match=message):
        weights_of_spd(nm, powers, "2-degree", range(400, 701, 10))


@pytest.mark.parametrize("strength", [1e-310, 1e-300, 1.0, 1e300])
def test_the_strength_of_a_light_does_not_matter(strength):
    nm = range(400, 701, 10)
    powers = [0.5 + 0.5 * (at % 3) for at in range(31)]
    reference = weights_of_spd(nm, powers, "2-degree", nm)
    scaled = weights_of_spd(nm, [strength * power for power in powers], "2-degree", nm)
    np.testing.assert_allclose(columns(scaled), columns(reference), rtol=0, atol=1e-9)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("D65", "2-degree", 350, 10, 40), "leave out the values beyond"),
        (("D65", "2-degree", 400, 10, 45), "leave out the values beyond"),
        (("D65", "2-degree", 400, 25, 10), "25 nm apart"),
        (("D65", "2-degree", 400, 0.05, 100), "0.05 nm apart"),
        (("D65", "2-degree", 400, 0, 10), "not ascending at index 1"),
        (("D65", "2-degree", 700, -10, 31), "not ascending at index 1"),
        (("D65", "2-degree", float("nan"), 10, 31), "not ascending"),
        (("D65", "2-degree", 400, float("nan"), 31), "not ascending"),
        (("D65", "2-degree", float("-inf"), 10, 31), "not ascending"),
        (("D65", "2-degree", 400, 10, 1), "between 2 and 4701"),
        (("D65", "2-degree", 400, 10, 0), "between 2 and 4701"),
        (("D65", "2-degree", 400, 1e-9, 10**9), "between 2 and 4701"),
        (("unknown", "2-degree", 400, 10, 31), "no illuminant"),
        (("D65", "unknown", 400, 10, 31), "no observer"),
    ],
)
def test_faulty_grids_and_names_are_refused(arguments, message):
    with pytest.raises(WrongUse, match=message):
        weights(*arguments)


@pytest.mark.parametrize(
    ("grid", "message"),
    [
        ([], "two or more are needed, not 0"),
        ([550], "two or more are needed, not 1"),
        ([400, 410, 410, 420], "not ascending at index 2"),
        ([400, 420, 410], "not ascending at index 2"),
        ([400, 400.5, 415], "too uneven"),
    ],
)
def test_faulty_uneven_grids_are_refused(grid, message):
    with pytest.raises(WrongUse, match=message):
        weights_at("D65", "2-degree", grid)


@settings(max_examples=60)
@given(uneven_grids())
def test_noise_is_never_magnified_much(grid):
    factors = weights_at("D65", "2-degree", grid)
    assert sum(map(abs, factors.y)) < 12 * 100


def test_two_wavelengths_are_enough():
    factors = weights("D65", "2-degree", 550, 10, 2)
    assert sum(factors.y) == pytest.approx(100)
    assert factors.folded_share[2] > 0.99


def test_tables_that_are_kept_are_bounded():
    for cached in (module.weights, module._weights_at, module._weights_of_spd, module._products):
        assert cached.cache_info().maxsize is not None
