"""Hostile and broken XML: refused in bounded time, with nothing read from elsewhere, and nothing but `Refused`."""

import contextlib
import gc
import io
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.converters.cxf import read_cxf, stream
from shadefmt.errors import Refused, WrongUse

DATA = Path(__file__).resolve().parent / "data" / "cxf"
EXAMPLE = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples" / "bench-export.cxf"
NAMESPACE = "http://colorexchangeformat.com/CxF3-core"
OPEN = f'<CxF xmlns="{NAMESPACE}">'.encode()
SECONDS = 5.0
"""Far above what any of these takes; a hang or an exponential growth exceeds it."""


def refused(data: bytes | io.BufferedIOBase) -> Refused:
    start = time.perf_counter()
    with pytest.raises(Refused) as refusal:
        read_cxf(data)  # type: ignore[arg-type]
    assert time.perf_counter() - start < SECONDS
    return refusal.value


def test_external_entities_are_not_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("0.1 0.2 0.3")
    text = (DATA / "external-entity.cxf").read_text().replace("entity.txt", secret.as_uri())
    assert "DOCTYPE" in str(refused(text.encode()))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_a_document_type_is_refused_in_every_encoding(encoding: str) -> None:
    name = encoding.removesuffix("-sig")
    text = f"<?xml version='1.0' encoding='{name}'?><!DOCTYPE CxF><CxF xmlns='{NAMESPACE}'/>"
    assert "DOCTYPE" in str(refused(text.encode(encoding)))


@pytest.mark.parametrize(
    "head",
    [
        "<!DOCTYPE CxF SYSTEM 'x.dtd'>",
        "<!DOCTYPE CxF PUBLIC '-//x//y' 'http://example.invalid/x.dtd'>",
        "<!DOCTYPE CxF [<!ELEMENT CxF ANY>]>",
        "<!DOCTYPE CxF [<!ENTITY % p SYSTEM 'http://example.invalid/p'> %p;]>",
        "<!-- a --><?pi?><!DOCTYPE CxF [<!ENTITY a '&#60;Resources>'>]>",
        "<!DOCTYPE CxF [<!ENTITY a '&a;'>]>",
    ],
)
def test_every_form_of_document_type_is_refused(head: str) -> None:
    assert "DOCTYPE" in str(refused(head.encode() + OPEN + b"&a;</CxF>"))


@pytest.fixture
def unraisable() -> Iterator[list[Any]]:
    """What Python could only print: faults of objects that are being freed."""
    met: list[Any] = []
    before = sys.unraisablehook
    sys.unraisablehook = met.append
    yield met
    sys.unraisablehook = before


@pytest.mark.filterwarnings("ignore")
def test_elements_inside_entities_do_not_confuse_the_parser(unraisable: list[Any]) -> None:
    text = (DATA / "growing-entities.cxf").read_text()
    for inside in ("<Object/>", "<Object", "</Object><Object>", "<a><b>1</a>", "x> <b> <c0.5"):
        refused(text.replace("0.5 0.5", inside, 1).encode())
        gc.collect()
    assert unraisable == []


def test_growing_entities_are_refused_at_once() -> None:
    assert "DOCTYPE" in str(refused((DATA / "growing-entities.cxf").read_bytes()))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (OPEN + b"<a>" * 100_000, "too large or too deep"),
        (OPEN + b"<Comment>" + b"1 " * 6_000_000 + b"</Comment></CxF>", "too large or too deep"),
        (OPEN + b'<Resources Name="' + b"1 " * 6_000_000 + b'"/></CxF>', "too large or too deep"),
        (b"<" + b"n" * 60_000, "too large or too deep"),
        (b"<!-- " + b"x" * 2_000_000 + b" -->" + OPEN + b"</CxF>", "no element begins"),
        (b" " * 3_000_000, "no element begins|not XML"),
        (OPEN + b'<Resources a="1" a="2"/></CxF>', "well-formed"),
        (OPEN + b"</CxF><CxF/>", "well-formed"),
        (OPEN + b"</cxf>", "well-formed"),
        (OPEN + b"\x00</CxF>", "well-formed"),
        (OPEN + b"\xff\xfe</CxF>", "well-formed"),
        (b'<?xml version="1.0" encoding="none-such"?>' + OPEN + b"</CxF>", "well-formed"),
        (b"<x:CxF/>", "unstated generation"),
        (OPEN, "cut off"),
        (b"", "empty"),
        (b"\x1f\x8b\x08\x00packed", "not XML"),
        (b"PK\x03\x04packed", "not XML"),
        (b'{"format": "shadefmt"}', "not XML"),
    ],
)
def test_what_is_too_large_too_deep_or_no_xml_is_refused_fast(data: bytes, said: str) -> None:
    assert any(each in str(refused(data)) for each in said.split("|"))


def test_text_of_ten_megabytes_in_a_spectrum_is_refused() -> None:
    whole = EXAMPLE.read_bytes()
    refused(whole.replace(b" 0.5", b" 0.5" * 3_000_000, 1))


def test_the_size_of_the_file_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream, "MAX_XML_BYTES", 5000)
    monkeypatch.setattr(stream, "CHUNK_BYTES", 1000)
    assert "larger than 5000 bytes" in str(refused(EXAMPLE.read_bytes()))


def test_the_size_of_one_object_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream, "MAX_DOCUMENT_BYTES", 20_000)
    monkeypatch.setattr(stream, "CHUNK_BYTES", 1000)
    whole = EXAMPLE.read_bytes()
    assert read_cxf(whole).case["readings"]
    fat = whole.replace(b"<cc:ColorValues>", b"<odd/>" * 10_000 + b"<cc:ColorValues>", 1)
    assert "one element is larger than 20000 bytes" in str(refused(fat))


def test_unknown_content_of_any_size_is_let_go_of(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stream, "MAX_DOCUMENT_BYTES", 20_000)
    monkeypatch.setattr(stream, "CHUNK_BYTES", 1000)
    many = b"<cc:CustomResources>" + b"<odd><deep>1</deep></odd>" * 10_000 + b"</cc:CustomResources></cc:CxF>"
    result = read_cxf(EXAMPLE.read_bytes().replace(b"</cc:CxF>", many))
    assert result.case["readings"] == read_cxf(EXAMPLE.read_bytes()).case["readings"]
    counts = {item["path"]: item["count"] for item in result.loss["items"]}
    assert counts["CxF/CustomResources/odd/deep"] == 10_000


@pytest.mark.parametrize("chunk", [1, 7, 100, 4096, 1 << 20])
def test_where_the_file_is_cut_into_chunks_makes_no_difference(chunk: int, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = read_cxf(EXAMPLE.read_bytes())
    monkeypatch.setattr(stream, "CHUNK_BYTES", chunk)
    cut = read_cxf(io.BytesIO(EXAMPLE.read_bytes()))
    assert (cut.case, cut.loss, cut.notices) == (whole.case, whole.loss, whole.notices)


def test_a_file_in_text_mode_is_wrong_use() -> None:
    with EXAMPLE.open(encoding="utf-8") as file, pytest.raises(WrongUse, match="binary"):
        read_cxf(file)  # type: ignore[arg-type]


FILES = sorted(DATA.glob("*.cxf"))


@st.composite
def damaged(draw: st.DrawFn) -> bytes:
    """A hand-written file with bytes changed, taken out or doubled, now and then in another encoding."""
    whole = bytearray(draw(st.sampled_from(FILES)).read_bytes())
    for _ in range(draw(st.integers(1, 5))):
        at, length = draw(st.integers(0, len(whole) - 1)), draw(st.integers(1, 40))
        kind = draw(st.sampled_from(["change", "take", "double"]))
        if kind == "change":
            whole[at] = draw(st.integers(0, 255))
        elif kind == "take" and len(whole) > 100:
            del whole[at : at + length]
        else:
            other = draw(st.integers(0, len(whole) - 1))
            whole[at:at] = whole[other : other + length]
    data = bytes(whole)
    return data.decode("latin-1").encode("utf-16") if draw(st.booleans()) and draw(st.booleans()) else data


@given(damaged(), st.booleans(), st.booleans())
def test_damage_is_refused_or_read_never_raised(data: bytes, percent: bool, comma: bool) -> None:
    with contextlib.suppress(Refused):
        read_cxf(data, percent=percent, decimal_comma=comma)


@given(st.sampled_from(FILES), st.data())
def test_no_cut_is_ever_a_shorter_result(path: Path, data: st.DataObject) -> None:
    whole = path.read_bytes().rstrip()
    cut = data.draw(st.integers(0, len(whole) - 1))
    with pytest.raises(Refused):
        read_cxf(whole[:cut])


def test_a_larger_file_cut_where_an_element_ends_is_refused() -> None:
    whole = EXAMPLE.read_bytes()
    for cut in _places(whole, b"</cc:Object>"):
        assert "cut off" in str(refused(whole[:cut]))


def _places(whole: bytes, what: bytes) -> Iterator[int]:
    at = whole.find(what)
    while at >= 0:
        yield at + len(what)
        at = whole.find(what, at + 1)


@pytest.mark.long
def test_ten_times_the_unknown_content_takes_the_same_memory() -> None:
    assert _peak(300_000) <= _peak(30_000) * 1.1


def _peak(elements: int, run: "Callable[..., Any] | None" = None) -> int:
    import subprocess

    program = f"""
import resource
from shadefmt.converters.cxf import read_cxf
data = open({str(EXAMPLE)!r}, "rb").read()
class Source:
    def __init__(self):
        self.left = {elements}
        self.head = data.replace(b"</cc:CxF>", b"<cc:CustomResources>")
        self.done = False
    def read(self, size):
        if self.head:
            head, self.head = self.head, b""
            return head
        if self.left > 0:
            self.left -= 500
            return b"<odd a='1'>text that nobody reads</odd>" * 500
        if not self.done:
            self.done = True
            return b"</cc:CustomResources></cc:CxF>"
        return b""
read_cxf(Source())
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""
    return int(subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, text=True).stdout)
