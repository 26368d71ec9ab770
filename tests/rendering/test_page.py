"""The page: the receiver's questions in order, outcomes by word and frame, numbers beside every drawing."""

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from coloraide import Color
from lxml import html
from shown_cases import checked, page_of, rich, section, smallest, words

from shadefmt.rendering import page_html
from shadefmt.rendering.page.style import DARK, FIXED, LIGHT, STYLE

QUESTIONS = [
    "Which case?",
    "Can work start?",
    "What is asked?",
    "Which colour?",
    "What lies beneath?",
    "How far to trust it?",
    "How did the work come out?",
    "What did the check find?",
    "What was not looked at?",
    "Where is it from?",
]


def test_the_questions_stand_in_the_receivers_order() -> None:
    for value in (rich(), smallest()):
        assert [each.text for each in page_of(value).xpath("//section/h2")] == QUESTIONS


OUTCOMES = {
    "conforms": "Conforms to this limit.",
    "does-not-conform": "Does not conform to this limit.",
    "inconclusive": "Inconclusive.",
    "cannot-be-compared": "Cannot be compared.",
    "not-judged": "Not judged.",
}


def test_each_outcome_has_its_word_and_its_frame() -> None:
    shown = {}
    for article in page_of(rich()).iter("article"):
        shown.setdefault(article.get("class").split()[1], article.xpath('string(p[@class="word"])'))
    assert shown == OUTCOMES
    frames = {name: re.findall(rf"^\.{name}\{{(.*?)[}}\n]", STYLE, re.MULTILINE)[0] for name in OUTCOMES}
    assert re.search(r"border:\d+px double", frames["conforms"])
    assert re.search(r"border:\d+px solid", frames["does-not-conform"])
    assert re.search(r"border:\d+px dashed", frames["inconclusive"])
    assert re.search(r"border-left:\d+px dotted", frames["cannot-be-compared"])
    assert "border" not in frames["not-judged"]
    assert "repeating-linear-gradient" in STYLE.split(".does-not-conform{")[1].split("}")[0]


def article_of(page: Any, *said: str) -> Any:
    return next(each for each in page.iter("article") if all(word in words(each) for word in said))


def test_an_outcome_says_all_that_belongs_to_it() -> None:
    said = words(article_of(page_of(rich()), "cervical third"))
    for part in (
        "Crown 12, cervical third, against tooth 11 read on 10 May 2027",
        "Does not conform to this limit.",
        "Difference 2.72, give or take 0.50 (CIEDE2000, k = 2; daylight at 6500 K, 2-degree observer): darker",
        "Limit 1.8: Paravina et al. 2015",
        "agreed by tern-steps and slate-yard on 2 February 2027",
        "Rule: guarded, four steps.",
        "This alone is no reason to remove a seated restoration.",
    ):
        assert part in said


def test_what_cannot_be_compared_has_a_reason_and_no_number() -> None:
    said = words(article_of(page_of(rich()), "Cannot be compared."))
    assert "One was read dry, the other moist" in said
    assert not re.search(r"\d\.\d", said)
    assert "limit" not in said.lower()


def test_a_verdict_that_the_check_contradicts_says_so_beside_its_word() -> None:
    page = page_of(rich())
    marked = [each for each in page.iter("article") if "The check contradicts it:" in words(each)]
    assert len(marked) == 1
    assert "decision-disagrees-with-rule" in words(marked[0])


def test_only_the_total_line_carries_the_limit() -> None:
    page = page_of(rich())
    tables = page.xpath('//table[@class="lines"]')
    assert tables
    for table in tables:
        rows = table.findall(".//tr")
        assert [row.xpath("string(th)") for row in rows] == ["total difference", "lightness", "chroma", "hue"]
        has_limit = [bool(row.xpath('.//*[@class="limit"]')) for row in rows]
        assert has_limit[1:] == [False, False, False]
        assert has_limit[0] == ("no limit" not in words(rows[0]))
        assert all(row.xpath("td[@aria-hidden]") and row.xpath('string(td[@class="said"])') for row in rows)


def test_the_bar_of_a_small_difference_begins_at_zero() -> None:
    value = rich()
    value["comparisons"][1]["difference"] = 0.3
    article = article_of(page_of(value), "Difference 0.30")
    zero = float(article.xpath('.//path[@class="axis"]/@d')[1].split()[0].removeprefix("M"))
    assert float(article.xpath('.//rect[@class="bar"]/@x')[0]) == zero


def test_rows_give_the_distance_before_the_label() -> None:
    said = words(section(page_of(rich()), "Which colour?"))
    assert "0.78 from Mossop, next 0.99 from Tarrel (Ferry Planks, an invented guide)" in said
    assert "None close (2.54 from Quindle)" in said


def test_zones_run_from_the_gum_to_the_edge() -> None:
    value = rich()
    value["targets"].reverse()
    table = section(page_of(value), "Which colour?").find(".//table")
    assert [each.text for each in table.xpath("tbody/tr/th")] == ["cervical third", "middle third", "incisal third"]


def test_lines_of_trust_begin_with_their_standing() -> None:
    lines = section(page_of(rich()), "How far to trust it?").xpath('.//ul[@class="series"]/li')
    standings = [each.find("span").text for each in lines]
    assert set(standings) == {"stated", "not stated", "contradicts"}
    contradicting = [words(each) for each in lines if each.find("span").text == "contradicts"]
    assert any("barrier-differs-from-calibration" in each for each in contradicting)
    missing = [words(each) for each in lines if each.find("span").text == "not stated"]
    assert any("when and how the instrument was calibrated" in each for each in missing)


def test_what_is_not_stated_is_said_to_be() -> None:
    facts = section(page_of(rich()), "What lies beneath?").xpath('.//table[@class="facts"]//tr')
    said = {row.findtext("th"): row.findtext("td") for row in facts}
    assert said["cement or medium"] == "not stated"
    assert said["stump"] == "metal"
    assert said["least thickness"] == "0.9 mm"


def test_the_questions_to_the_sender_are_at_most_five_and_ready_to_copy() -> None:
    box = page_of(rich()).xpath('//div[@class="ask"]')[0]
    assert words(box).startswith("To tern-steps, about case vv-Tarn-83q, tooth 12:")
    assert 1 <= len(box.findall("ol/li")) <= 5
    assert all(each.find("code").text for each in box.findall("ol/li"))


def test_a_sound_file_is_no_verdict_on_the_work() -> None:
    page = page_of(smallest())
    assert page.xpath('string(//p[@class="state"])') == "FILE SOUND"
    assert "That is no statement about the work." in words(section(page, "Can work start?"))
    assert "Not judged: nothing in the file is compared with a limit." in words(page)


def test_each_sheet_ends_with_case_and_digest() -> None:
    case, report = checked(rich())
    page = html.document_fromstring(page_html(case, report))
    digest = report.to_value()["judged"]["sha256"][:12]
    assert words(page.xpath("//footer")[0]) == f"case {case.id}, SHA-256 {digest}"
    assert "table-footer-group" in STYLE.split("@media print")[1]
    assert 'content:"sheet " counter(page) " of " counter(pages)' in STYLE


def test_the_slip_has_the_numbers_of_the_target() -> None:
    slip = page_of(rich()).xpath("//aside")[0]
    rows = [[cell.text for cell in row] for row in slip.iter("tr")]
    assert rows == [
        ["cervical third", "73.10", "2.40", "19.80", "measured, 3 readings"],
        ["middle third", "76.20", "1.10", "15.60", "measured, 3 readings"],
        ["incisal third", "77.40", "0.50", "11.20", "measured, 3 readings"],
    ]


def test_no_slip_without_a_colour_to_reach() -> None:
    assert not page_of(smallest()).xpath("//aside")


def test_a_change_names_both_moments() -> None:
    said = words(article_of(page_of(rich()), "How far has the colour moved?"))
    assert said.startswith("Tooth 11 read on 3 June 2027, middle third, against tooth 11 read on 10 May 2027")


def test_swatches_carry_their_caution_and_stay_off_paper() -> None:
    page = page_of(rich())
    swatches = page.xpath('//span[@class="swatch"]')
    assert swatches
    assert {words(each) for each in swatches} == {"impression only"}
    assert ".swatch{display:none}" in STYLE.split("@media print")[1]
    assert "No swatches on paper: paper is no reference." in words(page)


def text_colours() -> Iterator[tuple[str, str]]:
    """Names of text colours of the style sheet with the background that each stands on."""
    plain = re.sub(r"@page\{.*?\}\}", "", STYLE, flags=re.DOTALL)
    for rule in re.findall(r"\{([^{}]*)\}", plain):
        for name in re.findall(r"(?<![\w-])color:var\(--([\w-]+)\)", rule):
            ground = re.findall(r"background:var\(--([\w-]+)\)", rule)
            yield name, ground[0] if ground else "paper"


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_text_stands_out_from_its_ground(palette: dict[str, str]) -> None:
    """WCAG 2.1 contrast, by `coloraide`: 4.5 to 1 for text, 3 to 1 for lines that carry meaning."""
    colours = palette | FIXED
    pairs = set(text_colours())
    assert {name for name, _ in pairs} == {"ink", "soft", "on-surround"}
    for name, ground in pairs:
        assert Color(colours[name]).contrast(Color(colours[ground])) >= 4.5, (name, ground)
    for name in ("ink", "limit"):
        assert Color(colours[name]).contrast(Color(colours["paper"])) >= 3


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_limit_and_bar_differ_in_lightness(palette: dict[str, str]) -> None:
    """So that they are told apart in grey scale and with any colour vision; CIELAB by `coloraide`."""
    limit, bar = (Color(palette[name]).convert("lab-d65")["lightness"] for name in ("limit", "bar"))
    assert abs(limit - bar) >= 30


def test_the_style_sheet_uses_no_other_colour() -> None:
    used = set(re.findall(r"#[0-9a-f]{3,8}\b", STYLE))
    assert used <= {*LIGHT.values(), *DARK.values(), *FIXED.values(), "#ffffff"}
    assert set(re.findall(r"var\(--([\w-]+)\)", STYLE)) == set(LIGHT) | set(FIXED)
    assert set(LIGHT) == set(DARK)


def test_the_page_says_its_language_and_has_one_heading_and_one_main() -> None:
    page = page_of(rich())
    assert page.get("lang") == "en"
    assert len(page.xpath("//h1")) == len(page.xpath("//main")) == 1
    levels = [int(node.tag[1]) for node in page.xpath("//main//*[self::h1 or self::h2 or self::h3]")]
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_the_same_case_gives_the_same_page() -> None:
    case, report = checked(rich())
    assert page_html(case, report) == page_html(case, report)


def test_where_the_difference_arose_closes_and_names_nobody() -> None:
    page = page_of(rich())
    table = page.xpath('//table[@class="zones ledger"]')[0]
    rows = [
        [float(cell.text.replace("\u2212", "-")) for cell in row.findall("td")] for row in table.xpath("tbody/tr[th]")
    ]
    for place in range(3):
        assert sum(row[place] for row in rows[:-1]) == pytest.approx(rows[-1][place], abs=1e-9)
    said = words(section(page, "How did the work come out?"))
    assert "Most of the difference arose when the shade was taken." in said


def test_an_objection_without_the_readings_says_what_is_missing() -> None:
    value = rich()
    value["means"] = [each for each in value["means"] if each["id"] not in ("mean-tooth-now", "mean-work-now")]
    assert "Where the difference arose cannot be worked out" in words(page_of(value))


def test_what_a_receiver_asks_of_place_and_instrument_is_told() -> None:
    value = rich()
    session = value["readings"][0]["session_id"]
    for each in value["readings"]:
        if each["session_id"] == session:
            each |= {"guided": True, "window_fits": True}
    value["readings"][0]["window_fits"] = False
    held = next(each for each in value["sessions"] if each["id"] == session)
    held["calibration"]["tile"] = "pale tile"
    held["verified_on"] = "2027-04-30"
    value["privacy"] = {"status": "pseudonymised", "dates": "exact", "keep_until": "2037-05-10"}
    page = page_of(value)
    said = words(section(page, "How far to trust it?"))
    assert "place held by a jig or mask; in 1 of 9 the window reached beyond the zone" in said
    assert "on the tile pale tile, instrument verified on 30 April 2027" in said
    assert "The record is to be kept until 10 May 2037." in words(section(page, "Where is it from?"))


def test_the_worst_outcome_stands_first_and_a_warning_below_one_beside_it() -> None:
    page = page_of(rich())
    told = [each.get("class").removeprefix("outcome ") for each in page.iter("article")]
    order = ["does-not-conform", "inconclusive", "cannot-be-compared", "conforms", "not-judged"]
    assert told == sorted(told, key=order.index)
    assert "Ask first: a warning is about what it rests on barrier-differs-from-calibration" in words(
        article_of(page, "Inconclusive.", "incisal third")
    )
