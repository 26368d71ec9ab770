"""Four lines for a difference: how far in all, with the limit; and which way, without one.

Only the total carries a limit: a bracket on each part would let a colour stay within three brackets and still lie
beyond the limit of the sum. All lines of a page have one scale. The drawing is hidden from screen readers; its
numbers stand beside it in the same table.
"""

from typing import Final, NamedTuple

from shadefmt.rendering.account.outcomes import Outcome
from shadefmt.rendering.figures import rounded_to
from shadefmt.rendering.page.markup import Markup, element, joined

WIDTH: Final = 300
HEIGHT: Final = 22
"""Size of a line, in units of its own drawing."""

EDGE: Final = 8
"""Room left and right of a line, so that a mark at its end is whole."""

LEAST_SCALE: Final = 4.0
"""End of the scale when every difference is small."""

NICE: Final = (4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0)
"""Ends of the scale."""


class Direction(NamedTuple):
    """One part of a difference with the words for its two ends."""

    name: str
    less: str
    more: str
    value: float


def scale_of(outcomes: list[Outcome]) -> float:
    """Return the end of the scale that holds everything drawn on a page."""
    drawn = [LEAST_SCALE]
    for each in outcomes:
        if each.difference is not None:
            drawn += [each.difference + (each.expanded or 0.0), each.limit_value or 0.0]
            drawn += [abs(part.value) for part in directions(each)]
    most = max(drawn)
    return next((each for each in NICE if each >= most), most)


def directions(outcome: Outcome) -> list[Direction]:
    """Return lightness, chroma and hue of a difference, as far as they are known."""
    if outcome.parts is None:
        return []
    less, more = outcome.hue_ends
    return [
        Direction("lightness", "darker", "lighter", outcome.parts.delta_L),
        Direction("chroma", "paler", "stronger", outcome.parts.delta_C),
        Direction("hue", less, more, outcome.parts.delta_H),
    ]


def difference_lines(outcome: Outcome, scale: float) -> Markup:
    """Return the table of lines of one outcome; nothing where it has no difference."""
    if outcome.difference is None:
        return Markup("")
    rows = [_total(outcome, scale), *(_direction(each, scale) for each in directions(outcome))]
    caption = f"Difference of {outcome.subject}, {outcome.zone}, with its parts in CIELAB"
    return element("table", element("caption", caption, class_="unseen"), *rows, class_="lines", role="table")


def _total(outcome: Outcome, scale: float) -> Markup:
    difference, expanded = outcome.difference or 0.0, outcome.expanded
    words = outcome.difference_text
    words += f", give or take {outcome.give_or_take}" if outcome.give_or_take else ", give or take not stated"
    words += f", limit {outcome.limit}" if outcome.limit else ", no limit"

    def at(value: float) -> float:
        return EDGE + (WIDTH - 2 * EDGE) * min(value / scale, 1.0)

    parts = [_line(at(0.0), at(scale)), _tick(at(0.0))]
    if expanded is not None:
        parts.append(_bar(at(max(difference - expanded, 0.0)), at(difference + expanded)))
    parts.append(_mark(at(difference)))
    if outcome.limit_value is not None:
        parts.append(_bracket(at(outcome.limit_value)))
    return _row("total difference", ("0", f"{scale:g}"), joined(*parts), words)


def _direction(part: Direction, scale: float) -> Markup:
    def at(value: float) -> float:
        return WIDTH / 2 + (WIDTH / 2 - EDGE) * min(max(value / scale, -1.0), 1.0)

    size = rounded_to(abs(part.value), 2)
    nothing = not any(each in "123456789" for each in size)
    words = f"{size} in {part.name}"
    if not nothing:
        words = f"{size} {part.more if part.value > 0 else part.less}" + (" in hue" if part.name == "hue" else "")
    parts = [_line(at(-scale), at(scale)), _tick(at(0.0)), _mark(at(part.value))]
    ends = (f"{part.less} {scale:g}", f"{scale:g} {part.more}")
    return _row(part.name, ends, joined(*parts), words)


def _row(name: str, ends: tuple[str, str], drawing: Markup, words: str) -> Markup:
    line = element("svg", drawing, viewBox=f"0 0 {WIDTH} {HEIGHT}", focusable="false")
    left, right = (element("span", each, class_="end") for each in ends)
    return element(
        "tr",
        element("th", name, scope="row", role="rowheader"),
        element("td", element("div", left, line, right, class_="drawn"), aria_hidden="true"),
        element("td", words, class_="said", role="cell"),
        role="row",
    )


def _line(start: float, end: float) -> Markup:
    return _stroke("axis", f"M{start:.1f} {HEIGHT / 2:g}H{end:.1f}")


def _tick(x: float) -> Markup:
    return _stroke("axis", f"M{x:.1f} 4V{HEIGHT - 4}")


def _bracket(x: float) -> Markup:
    return _stroke("limit", f"M{x - 5:.1f} 2H{x:.1f}V{HEIGHT - 2}H{x - 5:.1f}")


def _stroke(kind: str, path: str) -> Markup:
    return element("path", d=path, class_=kind)


def _bar(start: float, end: float) -> Markup:
    width = max(end - start, 1.0)
    return element("rect", x=f"{start:.1f}", y="7", width=f"{width:.1f}", height=f"{HEIGHT - 14}", class_="bar")


def _mark(x: float) -> Markup:
    return element("circle", cx=f"{x:.1f}", cy=f"{HEIGHT / 2:g}", r="4.5", class_="mark")
