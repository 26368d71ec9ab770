"""The rows of colours and what lies beneath: zones in words, the distance before the label."""

from itertools import groupby

from shadefmt.indexing import CaseView
from shadefmt.rendering.account.beneath import NOT_STATED, beneath
from shadefmt.rendering.account.colours import ColourRow, basis_words, read_rows, target_rows
from shadefmt.rendering.account.worked_out import indices, translucencies
from shadefmt.rendering.figures import sentence
from shadefmt.rendering.page.markup import Markup, element, joined, minus
from shadefmt.rendering.page.swatch import swatch

NO_SWATCHES = "No swatches on paper: paper is no reference."


def which_colour(view: CaseView) -> Markup:
    """Return the colours to reach, then what else was read."""
    aimed, read = target_rows(view), read_rows(view)
    parts = [_rows(aimed) if aimed else element("p", "No colour to reach is stated.")]
    if read:
        parts += [element("h3", "Also read" if aimed else "Colours as read"), _rows(read, _about(aimed))]
    made = indices(view) + translucencies(view)
    if made:
        rows = [element("tr", element("th", name, scope="row"), element("td", words)) for name, words in made]
        parts += [element("h3", "Worked out"), element("table", *rows, class_="facts")]
    if any(swatch(each.values, each.basis) for each in aimed + read):
        parts.append(element("p", NO_SWATCHES, class_="on-paper small"))
    return joined(*parts)


def what_lies_beneath(view: CaseView) -> Markup:
    """Return stump, abutment, cement and thickness of each work; what is not stated is said to be."""
    found = beneath(view)
    if not found:
        return element("p", f"{NOT_STATED.capitalize()}: the file holds no prescription.")
    parts = []
    for each in found:
        if len(found) > 1:
            parts.append(element("h3", each.work))
        rows = [element("tr", element("th", name, scope="row"), element("td", words)) for name, words in each.facts]
        parts.append(element("table", *rows, class_="facts"))
        if each.rows:
            parts.append(_rows(each.rows))
    return joined(*parts)


def _bases(rows: list[ColourRow]) -> list[tuple[str, str]]:
    return list(dict.fromkeys(each.basis for each in rows if each.basis is not None))


def _about(rows: list[ColourRow]) -> str:
    """Return the light and observer that rows share, and what their last column is."""
    bases = _bases(rows)
    about = f"For {basis_words(bases[0])}." if len(bases) == 1 else ""
    spread = any(each.spread is not None for each in rows)
    return (about + (" ± is how far single readings lie from their mean." if spread else "")).strip()


def _rows(rows: list[ColourRow], told: str = "") -> Markup:
    """Return a table of zones, under the light and observer that they share; what was told before is not repeated."""
    bases, about = _bases(rows), _about(rows)
    heads = [element("th", each, scope="col", class_="n") for each in ("L*", "a*", "b*", "±")]
    bodies = []
    several = len({each.specimen for each in rows}) > 1
    for specimen, group in groupby(rows, key=lambda each: each.specimen):
        if several:
            name = element("th", specimen, colspan="5", scope="rowgroup")
            bodies.append(element("tbody", element("tr", name), class_="named"))
        bodies += [_zone(each, several_bases=len(bases) > 1) for each in group]
    head = element("thead", element("tr", element("th", "zone", scope="col"), *heads))
    said = [element("p", about, class_="small")] if about and about not in told else []
    return joined(element("table", head, *bodies, class_="zones"), *said)


def _zone(row: ColourRow, *, several_bases: bool) -> Markup:
    """Return one zone in two lines: its numbers, then the nearest reference and how the colour is known."""
    numbers = [*(row.lab or ("", "", "")), row.spread or ""]
    first = element(
        "tr",
        element("th", row.zone, scope="row"),
        *(element("td", minus(each) or "–", class_="n") for each in numbers),
    )
    words = [f"{each.words} ({each.set_title})" for each in row.nearest]
    words += [row.how_known, row.from_above]
    if several_bases and row.basis is not None:
        words.append(f"for {basis_words(row.basis)}")
    said = " ".join(sentence(each) for each in words if each)
    second = element("tr", element("td", swatch(row.values, row.basis), said, colspan="5", class_="small"))
    return element("tbody", first, second)
