"""Every element and attribute of a CxF3 file is read or accounted for, exactly once; unknown ones change nothing."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from shadefmt.converters.cxf import CxfResult, read_cxf
from shadefmt.errors import Refused

DATA = Path(__file__).resolve().parent / "data" / "cxf"
EXAMPLE = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples" / "bench-export.cxf"
CXF3 = "{http://colorexchangeformat.com/CxF3-core}"
PLAIN = etree.XMLParser(remove_comments=True, remove_pis=True)


def readable(path: Path) -> bool:
    try:
        read_cxf(path.read_bytes())
    except Refused:
        return False
    return True


FILES = [path for path in [*sorted(DATA.glob("*.cxf")), EXAMPLE] if readable(path)]


def contents(data: bytes) -> int:
    """Number of elements and attributes, counted by lxml."""
    return sum(1 + len(element.attrib) for element in etree.fromstring(data, PLAIN).iter())


def accounted(result: CxfResult) -> int:
    """The same by the loss report; what was assumed is no content, and stray text is neither."""
    items = result.loss.get("items", [])
    return sum(item["count"] for item in items if item["fate"] != "defaulted" and not item["path"].endswith("/text()"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("percent", [False, True])
def test_each_file_is_accounted_for_to_the_last_attribute(path: Path, percent: bool) -> None:
    data = path.read_bytes()
    assert accounted(read_cxf(data, percent=percent)) == contents(data)


def test_there_are_files_to_try() -> None:
    assert len(FILES) >= 25


UNKNOWN_NAMES = st.sampled_from([f"{CXF3}Odd", f"{CXF3}Oddities", "{urn:example:odd}Thing", "bare"])
UNKNOWN_ATTRIBUTES = st.sampled_from(["odd", "{urn:example:odd}thing", "{http://www.w3.org/XML/1998/namespace}lang"])


@st.composite
def insertions(draw: st.DrawFn) -> tuple[bytes, bytes, int]:
    """A file, the same with unknown elements and attributes anywhere, and how many there are."""
    data = draw(st.sampled_from(FILES)).read_bytes()
    root = etree.fromstring(data, PLAIN)
    added = 0
    for _ in range(draw(st.integers(1, 5))):
        places = list(root.iter())
        place = places[draw(st.integers(0, len(places) - 1))]
        if draw(st.booleans()):
            element = etree.Element(draw(UNKNOWN_NAMES))
            element.text = draw(st.sampled_from([None, "7", "0.5 0.5"]))
            for _ in range(draw(st.integers(0, 2))):
                etree.SubElement(element, draw(UNKNOWN_NAMES)).set("value", "1")
            added += sum(1 + len(each.attrib) for each in element.iter())
            place.insert(draw(st.integers(0, len(place))), element)
        else:
            name = draw(UNKNOWN_ATTRIBUTES)
            added += name not in place.attrib
            place.set(name, "x")
    return data, etree.tostring(root), added


@given(insertions())
def test_unknown_elements_and_attributes_are_counted_and_change_nothing(given_: tuple[bytes, bytes, int]) -> None:
    data, more, added = given_
    before, after = read_cxf(data), read_cxf(more)
    for name in ("instruments", "specimens", "sessions", "readings"):
        assert after.case.get(name) == before.case.get(name)
    assert accounted(after) == accounted(before) + added
    assert dropped(after) == dropped(before) + added
    assert not after.loss["lossless"]


def dropped(result: CxfResult) -> int:
    return sum(item["count"] for item in result.loss["items"] if item["fate"] == "dropped")


@given(st.sampled_from(FILES), st.data())
def test_text_between_elements_is_accounted_for(path: Path, data: st.DataObject) -> None:
    root = etree.fromstring(path.read_bytes(), PLAIN)
    places = [each for each in root.iter() if len(each) and not left_out(each)]
    place = places[data.draw(st.integers(0, len(places) - 1))]
    after = data.draw(st.integers(0, len(place)))
    if after:
        place[after - 1].tail = "words"
    else:
        place.text = "words"
    result = read_cxf(etree.tostring(root))
    accounts = [item for item in result.loss["items"] if item["path"].endswith("/text()")]
    kept = "words" in str(result.case.get("extensions"))
    assert kept or [item["count"] for item in accounts] == [1]


def left_out(element: etree._Element) -> bool:
    """Whether an element is dropped with all that it holds, text included."""
    dropped = ("CustomResources", "ProfileCollection", "DeviceColorValues")
    return any(each.tag.endswith(dropped) for each in [element, *element.iterancestors()])


def test_paths_are_counted_together_where_there_are_hundreds_of_them() -> None:
    odd = "".join(f"<odd{number}/>" for number in range(2000))
    data = EXAMPLE.read_bytes().replace(b"<cc:ColorValues>", odd.encode() + b"<cc:ColorValues>", 1)
    result = read_cxf(data)
    assert accounted(result) == contents(data)
    assert len(result.loss["items"]) < 600


def test_full_lists_every_instance() -> None:
    short, long = read_cxf(EXAMPLE.read_bytes()), read_cxf(EXAMPLE.read_bytes(), full=True)
    assert instances(short, "zone-unknown") == 3
    assert instances(long, "zone-unknown") == 9
    assert [item["count"] for item in items(short, "zone-unknown")] == [9]
    assert short.case == long.case


def items(result: CxfResult, code: str) -> list[dict[str, Any]]:
    return [item for item in result.loss["items"] if item.get("code") == code]


def instances(result: CxfResult, code: str) -> int:
    return sum(len(item["instances"]) for item in items(result, code))


def test_long_texts_and_names_do_not_break_the_report() -> None:
    long = "n" * 300
    data = EXAMPLE.read_bytes().replace(b"<cc:ColorValues>", f'<{long} {long}="{long * 20}"/><cc:ColorValues>'.encode())
    result = read_cxf(data)
    assert accounted(result) == contents(data)
    assert max(len(item["path"]) for item in result.loss["items"]) <= 200
    comment = f"<cc:Comment>{'c' * 5000}</cc:Comment><cc:ColorValues>".encode()
    result = read_cxf(EXAMPLE.read_bytes().replace(b"<cc:ColorValues>", comment, 1))
    assert [item["count"] for item in items(result, "text-too-long")] == [1]
