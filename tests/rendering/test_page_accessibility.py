"""The page for whoever hears it, prints it or sees no colours: markup, headings, tables, reading order."""

import re
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import html5lib
import pytest
from lxml import html
from shown_cases import checked, page_of, rich, smallest, words

from shadefmt.documents import loads
from shadefmt.rendering import page_html
from shadefmt.rendering.page.style import STYLE

CASES: dict[str, dict[str, Any]] = {"rich": rich(), "smallest": smallest()}
for _path in sorted((Path(__file__).parents[2] / "schema/1.0/examples").rglob("*.shade.json")):
    if (_value := loads(_path.read_bytes()))["kind"] == "case":
        CASES[_path.name.split(".")[0]] = _value

HEADINGS = "//*[self::h1 or self::h2 or self::h3 or self::h4 or self::h5 or self::h6]"

each_case = pytest.mark.parametrize("name", CASES)


def written(name: str) -> str:
    return page_html(*checked(CASES[name]))


def parsed(name: str) -> Any:
    return html.document_fromstring(written(name))


@each_case
def test_the_markup_is_html(name: str) -> None:
    """By `html5lib`, which follows the parsing algorithm of the HTML standard and stops at the first parse error."""
    html5lib.HTMLParser(strict=True).parse(written(name))


def test_the_parser_stops_at_markup_that_is_not_html() -> None:
    with pytest.raises(html5lib.html5parser.ParseError):
        html5lib.HTMLParser(strict=True).parse(written("smallest").replace("</section>", "</article>", 1))


@each_case
def test_headings_step_down_one_by_one_and_none_is_empty(name: str) -> None:
    headings = parsed(name).xpath(HEADINGS)
    assert headings[0].tag == "h1"
    assert all(words(each) for each in headings)
    assert all(int(below.tag[1]) - int(above.tag[1]) <= 1 for above, below in pairwise(headings))


@each_case
def test_every_drawing_has_its_words_beside_it_and_is_not_read_out(name: str) -> None:
    """A line stands in a table row with a name and its numbers; a swatch says that it is an impression."""
    for drawing in parsed(name).iter("svg"):
        assert drawing.xpath('ancestor-or-self::*[@aria-hidden="true"]')
        row = drawing.xpath('ancestor::tr[.//td[@class="said"]][1]')
        beside = row[0].xpath('string(th) and string(td[@class="said"])') if row else words(drawing.getparent())
        assert beside


@each_case
def test_tables_have_named_rows_and_columns(name: str) -> None:
    for table in parsed(name).iter("table"):
        for head in table.iter("th"):
            assert words(head)
            assert head.get("scope") in ("col", "row", "rowgroup")
        widths = [sum(int(cell.get("colspan", 1)) for cell in row) for row in table.iter("tr")]
        assert len(set(widths)) == 1, widths


@each_case
def test_ids_are_single_and_nothing_is_fetched(name: str) -> None:
    page = parsed(name)
    assert all(count == 1 for count in Counter(page.xpath("//@id")).values())
    assert not page.xpath("//@src | //@href | //script | //link | //@onclick")


@each_case
def test_standings_and_outcomes_are_words(name: str) -> None:
    """No colour tells anything: each class that looks different is also said."""
    page = parsed(name)
    for each in page.xpath('//span[contains(@class, "standing")]'):
        assert each.text in ("stated", "not stated", "contradicts")
    for each in page.iter("article"):
        outcome = each.get("class").removeprefix("outcome ").replace("-", " ")
        said = words(each.xpath('p[@class="word"]')[0]).lower()
        assert said.startswith(outcome.split()[0])


def test_the_order_on_the_screen_is_that_of_the_text() -> None:
    """Nothing of the page is put elsewhere: no `order`, no place from the end, no row that runs backwards.

    The ends of a line are set below it on a telephone; they are hidden from whoever hears the page.
    """
    assert not re.search(r"(?<![\w-])order:|row-reverse|column-reverse|tabindex=\"[1-9]", STYLE)
    moved = set(re.findall(r"([^{}\n]*)\{[^{}]*grid-row:1[^{}]*\}", STYLE))
    assert moved == {".drawn svg"}
    assert all(each.xpath("ancestor::*[@aria-hidden]") for each in page_of(rich()).xpath('//div[@class="drawn"]'))


def test_text_can_be_made_larger() -> None:
    """Sizes on the screen follow the reader's own; nothing keeps a page from being zoomed."""
    screen = STYLE.split("@page")[0]
    assert not re.search(r"font(?:-size)?:[\d.]+(?:px|pt|mm)", screen)
    viewport = page_of(smallest()).xpath('string(//meta[@name="viewport"]/@content)')
    assert "maximum-scale" not in viewport
    assert "user-scalable" not in viewport


def test_paper_is_white_whatever_the_screen_is() -> None:
    printed = STYLE.split("@media print")[1]
    assert "--paper:#ffffff" in printed
    assert "color-scheme:light" in printed
    assert "prefers-color-scheme:dark" not in printed
