"""Swatches against another library, and the scale that all difference lines of a page share."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.color import lab2rgb

from shadefmt.rendering.account.outcomes import Outcome
from shadefmt.rendering.page.difference_lines import EDGE, WIDTH, difference_lines, scale_of
from shadefmt.rendering.page.swatch import screen_colour, swatch

BASIS = ("D65", "2-degree")


@given(st.floats(20, 92), st.floats(-3, 12), st.floats(-2, 28))
def test_swatches_agree_with_another_library(L: float, a: float, b: float) -> None:
    """CIELAB (D65, 2 degrees) to sRGB by scikit-image; one step of 255 is left for the digits of its white."""
    shown = screen_colour((L, a, b))
    expected = 255 * lab2rgb(np.array([[[L, a, b]]], dtype=float))[0, 0]
    assert shown is not None
    assert np.abs(np.array([int(shown[at : at + 2], 16) for at in (1, 3, 5)]) - expected).max() <= 1.01


@pytest.mark.parametrize("lab", [(50, 120, 0), (105, 0, 0), (-3, 0, 0), (80, 0, 120), (1e6, 0, 0), (1e308, 1e308, 0)])
def test_what_no_screen_shows_gets_no_swatch(lab: tuple[float, float, float]) -> None:
    assert screen_colour(lab) is None
    assert swatch(lab, BASIS) == ""


def test_colours_of_another_light_get_no_swatch() -> None:
    assert swatch((70, 2, 18), BASIS)
    assert swatch((70, 2, 18), ("A", "2-degree")) == ""
    assert swatch((70, 2, 18), None) == ""
    assert swatch(None, BASIS) == ""


def outcome(difference: float, expanded: float | None = None, limit: float | None = None) -> Outcome:
    return Outcome(
        "verdict",
        "inconclusive",
        "crown",
        "middle third",
        "a tooth",
        "",
        difference_text=str(difference),
        difference=difference,
        expanded=expanded,
        limit_value=limit,
    )


@pytest.mark.parametrize(
    ("outcomes", "scale"),
    [
        ([], 4),
        ([outcome(0.3, 0.2, 1.8)], 4),
        ([outcome(0.3), outcome(3.9, 0.4)], 5),
        ([outcome(1, None, 7)], 8),
        ([outcome(250.5)], 250.5),
    ],
)
def test_the_scale_holds_everything_that_is_drawn(outcomes: list[Outcome], scale: float) -> None:
    assert scale_of(outcomes) == scale


@given(st.floats(0, 1e6), st.none() | st.floats(0, 1e6), st.none() | st.floats(1e-6, 1e6))
def test_lines_stay_inside_their_drawing(difference: float, expanded: float | None, limit: float | None) -> None:
    drawn = outcome(difference, expanded, limit)
    text = difference_lines(drawn, scale_of([drawn]))
    places = [float(each) for each in re.findall(r'(?:cx|x)="([\d.]+)"', text)]
    assert all(EDGE - 1e-9 <= each <= WIDTH - EDGE + 1e-9 for each in places)
    assert ('class="limit"' in text) == (limit is not None)
    assert ('class="bar"' in text) == (expanded is not None)


def test_marks_stand_where_their_numbers_are() -> None:
    """A scale of 4 on a line of 284 units that begins at 8: 1 is at 79, 2 at 150."""
    text = difference_lines(outcome(1.0, 0.5, 2.0), 4)
    assert 'cx="79.0"' in text
    assert 'x="43.5"' in text
    assert "H150.0V20" in text
