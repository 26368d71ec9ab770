from decimal import Decimal
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour.covariances import from_standard
from shadefmt.colour.difference_single import ciede2000
from shadefmt.colour.formula import Formula
from shadefmt.colour.ledger import Station, ledger
from shadefmt.errors import WrongUse

NOISE = from_standard(0.2, 0.1, 0.2)
colours = st.tuples(st.floats(0, 100), st.floats(-60, 60), st.floats(-60, 60))


def stations():
    """An invented crown that came back as too bright: the tooth had dried when it was read."""
    return [
        Station("tooth now", (73.6, 1.6, 17.3), NOISE, "kestrel"),
        Station("tooth then", (76.3, 1.0, 15.4), NOISE, "kestrel"),
        Station("target", (76.3, 1.0, 15.4), NOISE, "kestrel"),
        Station("crown at the laboratory", (76.0, 1.1, 15.7), NOISE, "plover"),
        Station("crown now", (76.5, 1.0, 15.3), NOISE, "kestrel"),
    ]


def test_a_ledger_closes_to_the_last_digit():
    """Computed, no published source: 2.49 in all; 2.34, 0, 0.30 and 0.44 on the way."""
    got = ledger(stations(), 1)
    assert got.total.step == (2.9, -0.6, -2.0)
    assert [line.step for line in got.lines] == [
        (2.7, -0.6, -1.9),
        (0, 0, 0),
        (-0.3, 0.1, 0.3),
        (0.5, -0.1, -0.4),
    ]
    assert got.total.difference == pytest.approx(2.49, abs=0.005)
    assert [line.difference for line in got.lines] == pytest.approx([2.34, 0, 0.30, 0.44], abs=0.005)
    assert [line.start for line in got.lines] == [station.name for station in stations()[:-1]]
    assert (got.total.start, got.total.end) == ("tooth now", "crown now")
    assert max(got.lines, key=lambda line: line.share) == got.lines[0]


def test_lines_between_two_unbridged_instruments_are_told_apart():
    got = ledger(stations())
    assert [line.across_instruments for line in got.lines] == [False, False, True, True]
    assert not got.total.across_instruments
    bridged = ledger(stations(), bridged=[frozenset({"kestrel", "plover"})])
    assert not any(line.across_instruments for line in bridged.lines)
    chosen = [station._replace(instrument=None) if station.name == "target" else station for station in stations()]
    assert [line.across_instruments for line in ledger(chosen).lines] == [False, False, False, True]


def test_each_line_has_its_own_uncertainty_where_both_ends_have_one():
    got = ledger(stations())
    assert got.total.uncertainty.method == "linear"
    assert got.lines[1].uncertainty.method == "upper-bound"
    assert got.lines[1].uncertainty.lower == 0
    some = stations()
    some[2] = some[2]._replace(covariance=None)
    assert [line.uncertainty is None for line in ledger(some).lines] == [False, True, True, False]


@given(st.lists(colours, min_size=2, max_size=8), st.integers(0, 6))
def test_steps_sum_to_the_total_as_printed(labs, decimals):
    got = ledger([Station(str(i), lab) for i, lab in enumerate(labs)], decimals)
    for axis in range(3):
        steps = [Decimal(repr(line.step[axis])) for line in got.lines]
        assert sum(steps) == Decimal(repr(got.total.step[axis]))
        assert got.total.step[axis] == pytest.approx(labs[-1][axis] - labs[0][axis], abs=1.01 * 10**-decimals)
    shares = [line.share for line in got.lines]
    if None not in shares:
        assert sum(shares) == pytest.approx(1, abs=1e-6 * max(1, *map(abs, shares)))
        assert got.total.share == 1
    rounded = [[round(Decimal(repr(value)), decimals) for value in lab] for lab in (labs[0], labs[-1])]
    ends = [list(map(float, lab)) for lab in rounded]
    assert got.total.difference == pytest.approx(ciede2000(*ends), abs=1e-12)


def test_a_way_back_to_the_start_has_no_shares():
    got = ledger([Station("start", (70, 1, 2)), Station("off", (72, 1, 2)), Station("back", (70, 1, 2))])
    assert got.total.difference == 0
    assert [line.share for line in got.lines] == [None, None]


def test_another_formula():
    got = ledger([Station("one", (70, 0, 0)), Station("two", (70, 3, 4))], by=Formula("CIELAB"))
    assert got.total.difference == 5


def test_wrong_use():
    with pytest.raises(WrongUse, match="two stations"):
        ledger(stations()[:1])
    with pytest.raises(WrongUse, match="decimals"):
        ledger(stations(), -1)
    with pytest.raises(WrongUse, match="finite"):
        ledger([Station("one", (nan, 0, 0)), Station("two", (70, 3, 4))])
