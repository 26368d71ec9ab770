"""The page fetches nothing, runs nothing, and nothing of a file ever becomes markup or style."""

import hashlib
import re
from base64 import b64encode
from typing import Any, get_args

import pytest
from lxml import html
from shown_cases import as_case, checked, page_of, rich

from shadefmt.checking import check
from shadefmt.jsontext import file_form
from shadefmt.rendering import page_html
from shadefmt.rendering.page.markup import Markup, element, joined, minus
from shadefmt.vocabulary import UncertaintySource

HOSTILE = '"\'><script>alert(1)</script><img src=x onerror=alert(1)></style></title>&lt;b style="x">\x00\u202e{0}%s'
FREE_TEXT = {
    *("note", "label", "title", "texture", "region", "medium", "cement", "code", "pseudonym", "model", "source"),
    *("light", "material", "lot", "model_reason", "name", "version"),
}


def test_the_page_needs_nothing_and_runs_nothing() -> None:
    page = page_of(rich())
    assert not page.xpath("//script | //link | //img | //iframe | //object | //a | //form | //base | //audio | //video")
    attributes = {name for node in page.iter() for name in node.attrib}
    assert not {each for each in attributes if each.startswith("on")}
    assert not attributes & {"style", "href", "src", "srcset", "action", "id"}
    text = page_html(*checked(rich()))
    assert not re.search(r"url\(|@import|https?://|javascript:", text)


def test_the_policy_allows_the_one_style_sheet_and_nothing_else() -> None:
    text = page_html(*checked(rich()))
    style = re.findall(r"<style>(.*?)</style>", text, re.DOTALL)
    digest = b64encode(hashlib.sha256(style[0].encode()).digest()).decode()
    policy = page_of(rich()).xpath('//meta[@http-equiv="Content-Security-Policy"]/@content')
    assert len(style) == 1
    assert policy == [f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"]


def hostile_copy(value: Any, name: str = "") -> Any:
    """The same case with every free text hostile."""
    if isinstance(value, dict):
        return {key: hostile_copy(item, key) for key, item in value.items() if key not in ("format", "kind")} | {
            key: value[key] for key in ("format", "kind") if key in value
        }
    if isinstance(value, list):
        return [hostile_copy(each, name) for each in value]
    free = name in FREE_TEXT and isinstance(value, str) and value not in get_args(UncertaintySource)
    return f"{value[:3]}{HOSTILE}" if free else value


def skeleton(page: Any) -> list[tuple[str, str]]:
    return [(str(node.tag), str(sorted(node.attrib.items()))) for node in page.body.iter()]


def test_nothing_of_a_file_becomes_markup() -> None:
    value = rich()
    changed = hostile_copy(value) | {"version": "1.0", "id": 'urn:x:"><script>alert(1)</script>'}
    changed["attachments"][0]["path"] = "pictures/<svg onload=alert(1)>.jpg"
    case = as_case(changed)
    report = check(file_form(value))  # of the plain case, so that both pages have the same parts
    shown = page_html(case, report)
    assert skeleton(html.document_fromstring(shown)) == skeleton(page_of(value))
    assert "<script" not in shown
    assert "\x00" not in shown
    assert "\u202e" not in shown
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in shown
    assert shown.count("<style>") == shown.count("</style>") == 1


def test_findings_about_a_hostile_file_are_no_markup_either() -> None:
    value = hostile_copy(rich()) | {"version": "1.0"}
    value["targets"][0]["source_id"] = "nowhere"
    case, report = checked(value)
    shown = page_html(case, report)
    tags = set(re.findall(r"<([a-z0-9]+)", shown))
    assert "script" not in tags
    assert "img" not in tags
    assert not re.search(r"<[^>]*\son\w+=", shown)


def test_markup_escapes_all_that_is_no_markup() -> None:
    assert element("p", "<b>", Markup("<i>"), class_='"x') == '<p class="&quot;x">&lt;b&gt;<i></p>'
    assert joined("&", Markup("&amp;")) == "&amp;&amp;"
    assert element("meta", charset="utf-8") == '<meta charset="utf-8">'
    for name in ("p onclick", "", "<b"):
        with pytest.raises(ValueError, match="name"):
            element(name)
    with pytest.raises(ValueError, match="name"):
        element("p", **{"x y": "1"})
    assert [minus(each) for each in ("-0.40", "0.40", "")] == ["\u22120.40", "0.40", ""]
