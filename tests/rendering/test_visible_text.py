"""Nothing of a file reaches a terminal raw, and lines keep their width whatever they hold."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.rendering.dates import date_words, span_words, time_words
from shadefmt.rendering.figures import as_given, counted, listed, rounded_to, sentence, with_sign
from shadefmt.rendering.visible import columns, flowing, shorter_digests, spaced, visible, wrapped

ANY_TEXT = st.text(st.characters(), max_size=80) | st.text(st.sampled_from("a\x1b\u202e\ud800\u200d\n歯"), max_size=9)


@given(ANY_TEXT)
def test_visible_text_moves_nothing(text: str) -> None:
    shown = visible(text)
    categories = {unicodedata.category(each) for each in shown if each not in "\u200c\u200d"}
    assert not categories & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
    assert shown.encode("utf-8").decode("utf-8") == shown
    assert visible(shown) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain é 歯", "plain é 歯"),
        ("\x1b[31mred\x07", "\\u001b[31mred\\u0007"),
        ("a\u202eb", "a\\u202eb"),
        ("two\nlines", "two\\u000alines"),
        ("\U000e0041", "\\U000e0041"),
        ("\ud800", "\\ud800"),
    ],
)
def test_what_is_not_seen_is_escaped(text: str, shown: str) -> None:
    assert visible(text) == shown


def test_a_remark_flows_in_one_line() -> None:
    assert flowing("first\n\n  second\tthird\x00") == "first second third\\u0000"


@given(st.lists(st.text("ab cé歯́", min_size=1, max_size=30), max_size=8), st.integers(12, 90))
def test_wrapped_lines_keep_their_width_and_their_words(words: list[str], width: int) -> None:
    text = " ".join(words)
    lines = wrapped(text, width, first="> ", later="    ")
    assert all(columns(line) <= width for line in lines)
    assert "".join("".join(line.split()) for line in lines).removeprefix(">") == "".join(text.split())


def test_wide_and_combining_characters_are_counted_as_a_terminal_does() -> None:
    """Unicode Standard Annex 11: ideographs take two columns; a combining accent takes none."""
    assert columns("歯") == 2
    assert columns("e\u0301") == 1
    assert columns("abc") == 3


def test_wrapping_prefers_blanks_and_breaks_a_word_only_where_no_line_holds_it() -> None:
    assert wrapped("one two three", 9) == ["one two", "three"]
    assert wrapped("abcdefghijklmnop qr", 10, first="- ") == ["- abcdefgh", "  ijklmnop", "  qr"]
    assert wrapped("", 10, first="x") == ["x"]


def test_parts_stand_side_by_side_as_far_as_they_fit() -> None:
    assert spaced(["aa", "bb", "cccc"], 8) == ["aa   bb", "  cccc"]
    assert spaced([], 8) == []


def test_digests_are_cut_to_twelve_digits() -> None:
    assert shorter_digests(f"is {'ab' * 32}, not {'ab' * 31}") == f"is {'ab' * 6}..., not {'ab' * 31}"


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [
        (1.5, 2, "1.50"),
        (1.8004, 1, "1.8004"),
        (2, 0, "2"),
        (-0.0, 1, "0.0"),
        (1e9, 0, "1e+09"),
        (0.1 + 0.2, 1, "0.3"),
        (1e-9, 2, "0.00"),
    ],
)
def test_numbers_are_shown_as_given(value: float, decimals: int, shown: str) -> None:
    assert as_given(value, decimals) == shown


@given(st.floats(-1e6, 1e6), st.integers(0, 10))
def test_numbers_are_shown_to_within_their_rounding(value: float, decimals: int) -> None:
    assert abs(float(as_given(value, decimals)) - value) <= 0.5e-6 * 1.0000001
    assert abs(float(rounded_to(value, decimals)) - value) <= 0.5 * 10.0**-decimals + 1e-9
    assert rounded_to(value, decimals).strip("-0.") or not rounded_to(value, decimals).startswith("-")


def test_signs_and_counts_and_lists() -> None:
    assert [with_sign(each, 1) for each in (0.04, 0.05001, -0.31, 0.0)] == ["0.0", "+0.1", "-0.3", "0.0"]
    assert counted(1, "tooth", "teeth") == "1 tooth"
    assert counted(2, "tooth", "teeth") == "2 teeth"
    assert counted(0, "note") == "0 notes"
    assert [listed(each) for each in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
    assert [sentence(each) for each in ("it is", "Is it?", "so it is.")] == ["It is.", "Is it?", "So it is."]


@pytest.mark.parametrize(
    ("timestamp", "day", "time"),
    [
        ("2027-05-04", "4 May 2027", "4 May 2027"),
        ("2027-05-04T09:12:00+02:00", "4 May 2027", "4 May 2027, 09:12"),
        ("2027-02-31T09:12", "2027-02-31T09:12", "2027-02-31T09:12"),
        ("2027-13-01", "2027-13-01", "2027-13-01"),
    ],
)
def test_dates_are_spelled_out_where_a_calendar_has_them(timestamp: str, day: str, time: str) -> None:
    assert date_words(timestamp) == day
    assert time_words(timestamp) == time


def test_a_span_names_its_ends() -> None:
    assert span_words([]) == ""
    assert span_words(["2027-05-04T09:00", "2027-05-04T17:00"]) == "4 May 2027"
    assert span_words(["2027-05-09", "2027-05-04"]) == "4 to 9 May 2027"
    assert span_words(["2027-06-01", "2027-05-04"]) == "4 May 2027 to 1 June 2027"
