from math import inf, nan, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import decisions as d
from shadefmt.errors import WrongUse

sizes = st.floats(0, 6)


@pytest.mark.parametrize(
    ("difference", "simple", "guarded", "four_way"),
    [
        (1.3, "conforms", "conforms", "conforms"),
        (1.31, "conforms", "does-not-conform", "conditionally-conforms"),
        (1.8, "conforms", "does-not-conform", "conditionally-conforms"),
        (1.81, "does-not-conform", "does-not-conform", "conditionally-fails"),
        (2.3, "does-not-conform", "does-not-conform", "conditionally-fails"),
        (2.31, "does-not-conform", "does-not-conform", "does-not-conform"),
    ],
)
def test_the_rules_of_ilac_g8_about_a_limit_of_1_8_with_a_guard_band_of_0_5(difference, simple, guarded, four_way):
    """ILAC-G8:09/2019, the simple, the guarded and the non-binary rule with w = U; equality on the better side."""
    assert d.decide("simple", difference, 1.8) == simple
    assert d.decide("simple", difference, 1.8, 0.5) == simple
    assert d.decide("guarded", difference, 1.8, 0.5) == guarded
    assert d.decide("four-way-guarded", difference, 1.8, 0.5) == four_way


def test_sums_of_decimals_reach_the_limit_that_they_reach_on_paper():
    """0.1 + 0.2 is more than 0.3 in binary."""
    assert 0.1 + 0.2 > 0.3
    assert d.decide("four-way-guarded", 0.1, 0.3, 0.2) == d.CONFORMS
    assert d.decide("guarded", 0.1, 0.3, 0.2) == d.CONFORMS
    assert 1.1 + 2.2 > 3.3
    assert d.decide("four-way-guarded", 3.3, 1.1, 2.2) == d.CONDITIONALLY_FAILS


@pytest.mark.parametrize(
    ("difference", "expanded", "limit", "decision"),
    [
        (0.75, 0.5, 1.8, d.CONFORMS),
        (2.40, 0.5, 1.8, d.DOES_NOT_CONFORM),
        (1.61, 0.3, 1.8, d.CONDITIONALLY_CONFORMS),
        (0.87, 0.3, 0.8, d.CONDITIONALLY_FAILS),
        (1.96, 0.3, 3.0, d.CONFORMS),
        (1.96, 0.3, 1.8, d.CONDITIONALLY_FAILS),
        (2.55, 0.45, 2.9, d.CONDITIONALLY_CONFORMS),
    ],
)
def test_invented_cases(difference, expanded, limit, decision):
    assert d.decide("four-way-guarded", difference, limit, expanded) == decision


@given(sizes, sizes, sizes)
def test_rules_agree_where_they_must(difference, limit, expanded):
    simple, guarded, four_way = (d.decide(rule, difference, limit, expanded) for rule in d.RULES)
    assert (guarded == d.CONFORMS) == (four_way == d.CONFORMS)
    assert (simple == d.CONFORMS) == (four_way in (d.CONFORMS, d.CONDITIONALLY_CONFORMS))
    assert d.decide("guarded", difference, limit, 0) == simple
    order = d.DECISIONS.index(four_way)
    assert d.DECISIONS.index(d.decide("four-way-guarded", difference + 0.1, limit, expanded)) >= order


def test_probability_of_conformity():
    """JCGM 106:2012, 7.3, the Zener diode (from memory): -5.47 V with u 0.05 V against -5.40 V gives 0.92."""
    assert d.probability_of_conformity(10 - 5.47, 10 - 5.40, 0.05) == pytest.approx(0.919, abs=5e-4)
    assert d.probability_of_conformity(1.8, 1.8, 0.3) == 0.5
    assert d.probability_of_conformity(1.4, 1.8, 0.2) == pytest.approx(0.97725, abs=1e-5)
    assert d.probability_of_conformity(1.8, 1.8, 0) == 1
    assert d.probability_of_conformity(1.81, 1.8, 0) == 0


def test_more_repeats_settle_what_only_noise_keeps_open():
    """Gap 0.4 at k = 2: u must fall to 0.2, so 0.5 / sqrt(n) <= 0.2 from n = 7 (6.25) on."""
    assert d.outlook(1.4, 1.8, 0.5, 0, 1) == d.Outlook(False, True, 7)
    assert d.outlook(2.2, 1.8, 0.5, 0, 3) == d.Outlook(False, True, 7)
    assert d.outlook(1.4, 1.8, 0.5, 0, 7) == d.Outlook(True, True, 7)


def test_more_repeats_do_not_settle_what_instruments_keep_open():
    assert d.outlook(1.4, 1.8, 0.1, 0.25, 3) == d.Outlook(False, False, None)
    assert d.outlook(1.4, 1.8, 0.1, 0.2, 3) == d.Outlook(False, False, None)
    assert d.outlook(1.8, 1.8, 0.5, 0, 3) == d.Outlook(False, False, None)


@given(sizes, sizes, st.floats(0, 2), st.floats(0, 2), st.integers(1, 30))
def test_the_number_of_repeats_is_enough_and_not_too_many(difference, limit, random, systematic, n):
    got = d.outlook(difference, limit, random, systematic, n)

    def settled(count):
        expanded = 2 * sqrt(random**2 / count + systematic**2)
        return d.decide("four-way-guarded", difference, limit, expanded) in (d.CONFORMS, d.DOES_NOT_CONFORM)

    assert got.settled == settled(n)
    if not got.settled and got.possible:
        assert got.readings > n
        assert settled(got.readings)
        assert not settled(got.readings - 1) or got.readings - 1 <= n
    if not got.possible:
        assert not settled(10**12) or abs(difference - limit) <= 2 * systematic + 2e-9


def test_the_largest_value_that_can_conform_hardly_grows_with_repeats():
    """Systematic u 0.5, k = 2, limit 1.8, u 0.263 a reading (computed): 0.67 for one reading, 0.79 for ten."""
    reach = [d.largest_conforming(1.8, 2 * sqrt(0.5**2 + 0.263**2 / n)) for n in (1, 10)]
    assert reach == pytest.approx([0.67, 0.79], abs=0.005)
    assert d.largest_conforming(0.8, 0.8) == 0
    assert d.largest_conforming(0.8, 0.81) is None


def test_wrong_use():
    with pytest.raises(WrongUse, match="four-way-guarded"):
        d.decide("five-way", 1, 2, 0.1)
    for rule in ("guarded", "four-way-guarded"):
        with pytest.raises(WrongUse, match="needs an expanded uncertainty"):
            d.decide(rule, 1, 2)
    for bad in (-0.1, nan, inf):
        for arguments in ((bad, 1, 0.1), (1, bad, 0.1), (1, 2, bad)):
            with pytest.raises(WrongUse, match="zero or more"):
                d.decide("guarded", *arguments)
        with pytest.raises(WrongUse, match="zero or more"):
            d.probability_of_conformity(1, 1, bad)
    with pytest.raises(WrongUse, match="one reading"):
        d.outlook(1.4, 1.8, 0.5, 0, 0)
