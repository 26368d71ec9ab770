from math import cos, nan, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import direction as directions
from shadefmt.colour.formula import Formula
from shadefmt.errors import WrongUse

CIELAB = Formula("CIELAB")
colours = st.tuples(st.floats(0, 100), st.floats(-80, 80), st.floats(-80, 80))


def lch(L, C, hue):
    return L, C * cos(radians(hue)), C * sin(radians(hue))


def test_each_word_stands_for_its_own_shift():
    standard = lch(74, 17, 85)
    for trial, word in (
        (lch(76, 17, 85), "lighter"),
        (lch(72, 17, 85), "darker"),
        (lch(74, 20, 85), "stronger"),
        (lch(74, 14, 85), "paler"),
        (lch(74, 17, 80), "redder"),
        (lch(74, 17, 90), "yellower"),
    ):
        assert directions.words(standard, trial) == (word,)
        assert directions.words(standard, trial, by=CIELAB) == (word,)


@pytest.mark.parametrize(
    ("hue", "falling", "rising"),
    [
        (5, "redder", "yellower"),
        (75, "redder", "yellower"),
        (97, "redder", "less red"),
        (130, "yellower", "greener"),
        (200, "greener", "bluer"),
        (320, "bluer", "redder"),
    ],
)
def test_a_turn_is_named_for_the_axis_ahead(hue, falling, rising):
    standard = lch(50, 30, hue)
    assert directions.words(standard, lch(50, 30, hue - 4)) == (falling,)
    assert directions.words(standard, lch(50, 30, hue + 4)) == (rising,)


def test_a_whitened_tooth_is_not_yellower_though_its_hue_turns_to_yellow():
    """b* falls by 9 while the hue angle rises from 80 to 86 degrees: nobody would build it up yellower."""
    assert directions.words((72, 4, 22), (76, 0.9, 13)) == ("paler", "lighter", "less red")
    assert directions.words((76, 0.9, 13), (72, 4, 22)) == ("stronger", "darker", "redder")
    assert directions.words(lch(74, 22, 70), lch(74, 14, 60)) == ("paler", "less yellow")


def test_where_neither_axis_tells_it_is_said_of_the_hue_only():
    """Beyond yellow, chroma growing sixfold: a* falls although the hue turns towards red, and b* grows."""
    assert directions.words(lch(70, 10, 110), lch(70, 60, 95)) == ("stronger", "redder in hue")


SENSE = {"redder": (1, 1), "greener": (1, -1), "yellower": (2, 1), "bluer": (2, -1)} | {
    "less red": (1, -1), "less green": (1, 1), "less yellow": (2, -1), "less blue": (2, 1)
}  # fmt: skip


@given(colours, colours)
def test_a_hue_word_never_contradicts_its_own_coordinate(standard, trial):
    """Nothing is called yellower whose b* has not grown, nor less red whose a* has not fallen; and so on."""
    for shift in directions.direction(standard, trial, 0.01):
        if shift.word in SENSE:
            axis, sign = SENSE[shift.word]
            assert sign * (trial[axis] - standard[axis]) > -1e-9, shift


def test_a_turn_through_the_red_axis_is_seen_as_short():
    assert directions.words(lch(50, 30, 358), lch(50, 30, 4)) == ("yellower",)
    assert directions.words(lch(50, 30, 2), lch(50, 30, 350)) == ("bluer",)


def test_near_grey_the_shifts_along_the_axes_are_named():
    assert directions.words((80, 0, 0), (80, 0, 2)) == ("yellower",)
    assert directions.words((80, 0.1, 0.2), (80, 0.1, -2)) == ("bluer",)
    assert directions.words((80, 0, 0), (80, -1.5, 0)) == ("greener",)
    assert directions.words((80, -1, 0), (80, 2, 1)) == ("redder", "yellower")
    assert directions.words((50, 20, 0), (50, -20, 0.1)) == ("greener",)


def test_the_heaviest_comes_first_and_small_parts_get_no_word():
    """A pair that a reader would call stronger and darker; CIELAB puts its hue part at 0.2."""
    standard, trial = (75.03, 1.91, 16.27), (73.76, 2.05, 18.48)
    assert directions.words(standard, trial) == ("stronger", "darker")
    shifts = directions.direction(standard, trial, threshold=0.1)
    assert [shift.word for shift in shifts] == ["stronger", "darker", "yellower"]
    assert directions.words(standard, trial, threshold=5) == ()
    amounts = [shift.amount for shift in shifts]
    assert amounts == sorted(amounts, reverse=True)


def test_deltas_are_trial_minus_standard():
    got = directions.deltas((74, 3, 4), (72, -4, 3))
    assert got[:3] == (-2, -7, -1)
    assert got.delta_C == pytest.approx(0)
    assert got.delta_H == pytest.approx(50**0.5)


@given(colours, colours)
def test_the_way_back_is_told_by_the_opposite_words(standard, trial):
    there = directions.direction(standard, trial, 0.01)
    back = directions.direction(trial, standard, 0.01)
    assert [shift.amount for shift in there] == pytest.approx([shift.amount for shift in back], abs=1e-9)
    lightness = {"lighter", "darker"}
    forth = [shift.word for shift in there if shift.word in lightness]
    assert [word for word in lightness if word not in forth][: len(forth)] == [
        shift.word for shift in back if shift.word in lightness
    ]
    assert not {shift.word for shift in there} & {shift.word for shift in back}


@given(colours, st.floats(0, 10))
def test_equal_colours_have_no_direction(colour, threshold):
    assert directions.direction(colour, colour, threshold) == ()


def test_wrong_use():
    for bad in (-0.1, nan):
        with pytest.raises(WrongUse, match="threshold"):
            directions.direction((50, 1, 2), (50, 1, 3), bad)
    with pytest.raises(WrongUse, match="not a finite number"):
        directions.direction((50, 1, 2), (nan, 1, 3))
    with pytest.raises(WrongUse, match="no hue"):
        directions.hue_words((50, 0, 0), (50, 1, 3))
