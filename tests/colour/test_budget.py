import pytest

from shadefmt.colour.budget import Component, Setting, budget
from shadefmt.errors import WrongUse

REPEATS = Component("repeatability", 0.03)
CALIBRATION = Component("calibration", 0.2, shared=True)
INSTRUMENTS = Component("inter-instrument", 0.4)
ONE = Setting(one_instrument=True, one_session=True, like_specimens=True)
TWO = Setting(one_instrument=False, one_session=False, like_specimens=True)


def test_what_is_shared_cancels_within_one_session_and_between_like_specimens_only():
    got = budget([REPEATS, CALIBRATION], ONE)
    assert got.combined == 0.03
    assert got.left_out == (CALIBRATION,)
    for unlike in (ONE._replace(one_session=False), ONE._replace(like_specimens=False)):
        got = budget([REPEATS, CALIBRATION], unlike)
        assert got.combined == pytest.approx((0.03**2 + 0.2**2) ** 0.5)
        assert got.left_out == ()


def test_two_instruments_need_a_component_of_their_own():
    got = budget([REPEATS, CALIBRATION], TWO)
    assert got.combined is None
    assert got.missing == ("inter-instrument",)
    assert budget([REPEATS, INSTRUMENTS], TWO).combined == pytest.approx((0.03**2 + 0.4**2) ** 0.5)


def test_a_bridge_component_serves_bridged_instruments_only():
    bridge = Component("bridge", 0.1)
    assert budget([bridge], TWO).missing == ("inter-instrument",)
    bridged = TWO._replace(bridged=True)
    assert budget([bridge], bridged).combined == 0.1
    assert budget([REPEATS], bridged).missing == ("bridge",)
    assert budget([INSTRUMENTS], bridged).combined == 0.4


def test_wrong_use():
    with pytest.raises(WrongUse, match="twice"):
        budget([REPEATS, REPEATS._replace(standard_uncertainty=0.1)], ONE)
    with pytest.raises(WrongUse, match="zero or more"):
        budget([Component("repeatability", -1)], ONE)
