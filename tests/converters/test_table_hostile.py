"""Damaged and hostile tables: cut at every byte, random bytes, limits. Refused with a place, or read right."""

import tracemalloc
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from table_mappings import Value, mapping, read, readings, table

from shadefmt.converters.table import read_table
from shadefmt.errors import Refused, ShadefmtError

NOTE = {"column": "Note", "member": "reading.note"}
ROWS = (
    '21;middle;74,10;1,5;16,28;"quoted; ""cell""\n\nof three lines"',
    "11;cervical;71;-0,25;19,5;é",
    "12;whole;70,1;1;15;z",
)
HEADER = "Tooth;Zone;L*;a*;b*;Note"
BY = mapping(NOTE)


def of_encoding(encoding: str) -> Value:
    return {**BY, "dialect": {**BY["dialect"], "encoding": encoding}}


FILES: dict[str, tuple[bytes, Value]] = {
    "lf": (table(*ROWS, header=HEADER), BY),
    "crlf": (table(*ROWS, header=HEADER).replace(b"\n", b"\r\n"), BY),
    "cr": (table(*ROWS, header=HEADER).replace(b"\n", b"\r"), BY),
    "mark": (b"\xef\xbb\xbf" + table(*ROWS, header=HEADER), BY),
    "utf-16": (table(*ROWS, header=HEADER).decode().encode("utf-16"), of_encoding("utf-16")),
    "cp1252": (table(*ROWS, header=HEADER).decode().encode("cp1252"), of_encoding("windows-1252")),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_cut_at_any_byte_is_refused_or_noticed_or_ends_between_rows(name: str) -> None:
    data, by = FILES[name]
    whole = readings(data, by)
    text_ends = {"utf-16": ("\n".encode("utf-16-le"),)}.get(name, (b"\n", b"\r"))
    clean: list[int] = []
    places: list[str] = []
    for cut in range(len(data)):
        try:
            cases, _, result = read(data[:cut], by)
        except Refused as error:
            places.append(error.where)
            continue
        found = cases[0]["readings"]
        assert [each["colours"] for each in found[:-1]] == [each["colours"] for each in whole[: len(found) - 1]]
        if "table-last-line-unended" not in {each.code for each in result.notices}:
            assert data[:cut].endswith(text_ends)
            assert found == whole[: len(found)]
            clean.append(cut)
    assert all(place.startswith("line") for place in places)
    assert len(clean) == len(whole) - 1  # cut between two rows, which nothing in the file can tell


def test_a_stated_closing_line_tells_a_cut_between_rows_too() -> None:
    by = {**BY, "layout": {"header_line": 1, "end_word": "End"}}
    data = table(*ROWS, "End", header=HEADER)
    assert len(readings(data, by)) == 3
    for cut in range(len(data) - len(b"End\n")):
        with pytest.raises(Refused):
            read(data[:cut], by)


MAPPINGS = [
    *(value for _, value in FILES.values()),
    of_encoding("iso-8859-1"),
    mapping(
        layout=None,
        columns=[
            {"column_number": 1, "member": "reading.zone", "vocabulary": [{"text": "0", "value": "middle"}]},
            {"column_number": 2, "member": "reading.note"},
            *({"column_number": 3, "member": f"reading.colour.lab.{letter}"} for letter in "Lab"),
        ],
        dialect={**BY["dialect"], "quote": "none", "delimiter": "comma"},
    ),
]


@given(st.binary(max_size=200) | st.text("0;,\"\n\r'.-e", max_size=60).map(str.encode), st.sampled_from(MAPPINGS))
def test_arbitrary_bytes_raise_nothing_but_our_own_errors(data: bytes, by: Value) -> None:
    with suppress(ShadefmtError):
        read(data, by)


@given(st.data(), st.sampled_from(sorted(FILES)))
def test_changed_bytes_raise_nothing_but_our_own_errors(draw: st.DataObject, name: str) -> None:
    data, by = FILES[name]
    made = bytearray(data)
    for _ in range(draw.draw(st.integers(1, 3))):
        at = draw.draw(st.integers(0, len(made) - 1))
        made[at : at + draw.draw(st.integers(0, 2))] = draw.draw(st.binary(max_size=2))
        if not made:
            break
    with suppress(ShadefmtError):
        read(bytes(made), by)


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=30), st.sampled_from(["Tooth", "Zone", "L*", "Note"]))
def test_any_text_in_any_cell_is_read_or_refused_with_its_place(text: str, column: str) -> None:
    cells = dict(zip(HEADER.split(";"), ("21", "middle", "74", "1", "16", "x"), strict=True)) | {column: text}
    row = ";".join('"' + cell.replace('"', '""') + '"' for cell in cells.values())
    refused = None
    try:
        [reading] = readings(table(row, header=HEADER), BY)
    except Refused as error:
        refused = error
    if "\0" in text:
        assert refused is not None
        assert "NUL" in refused.what
    elif refused is not None:
        assert refused.where == f"line 2, column {column!r}"
    if column == "Note" and "\0" not in text:
        assert reading.get("note", "") == (text if text.strip() else "")


@pytest.mark.parametrize(
    ("data", "where", "what"),
    [
        (b"", "line 1", "empty"),
        (b"\xef\xbb\xbf", "line 1", "no column headers"),
        (b"\n\n", "line 1", "no column headers"),
        (table(header=HEADER), "line 1", "no rows"),
        (table("21;middle;74;1;16;x", "21;middle;74", header=HEADER), "line 3", "has 3 cells"),
        (table("21;middle;74;1;16;x;y", header=HEADER), "line 2", "has 7 cells"),
        (table("21;middle;74;1,5,2;16;x", header=HEADER), "line 2, column 'a*'", "no number"),
        (table("21;middle;74;;16;x", header=HEADER), "line 2, column 'a*'", "blank"),
        (table('21;middle;74;1;16;"x', "21;middle;74;1;16;x", header=HEADER), "lines 2 to 3", "not closed"),
        (table('21;middle;74;1;16;"x"y', header=HEADER), "line 2", "closing quote"),
        (table("21;middle;74;1;16;x\0", header=HEADER), "line 2", "NUL"),
        (table("21;middle;74;1;16;" + "x" * 4001, header=HEADER), "line 2, column 'Note'", "4000"),
        (table("21;middle;74;1;16;" + "x" * 200_000, header=HEADER), "line 2", "characters"),
        (table("21;middle;74;1;16;" + "x" * 2_000_000, header=HEADER), "line 2", "characters"),
        (table('21;middle;74;1;16;"' + "x\n" * 600_000, header=HEADER), "line", "characters"),
        (table('21;middle;74;1;16;"' + 'x\n";"' * 300_000, header=HEADER), "line", "characters"),
        (b"Tooth" * 500_000, "line 1", "characters"),
        (table("21;middle;74;1;16;x", header=HEADER).decode().encode("utf-16"), "line 1", "byte order mark"),
        (table("21;middle;74;1;16;x", header=HEADER).decode().encode("utf-32"), "line 1", "byte order mark"),
        (table("21;middle;74;1;16;x", header=HEADER).decode().encode("utf-16-le"), "line 1", "NUL"),
        (table("21;middle;74;1;16;x", header=HEADER) + b"\xff;\n", "line 3", "does not fit"),
        (table("21;middle;74;1;16;" + "9" * 100, header=HEADER)[:-1] + b"\xc3", "line 2", "offset"),
    ],
)
def test_refusals_say_where_and_what(data: bytes, where: str, what: str) -> None:
    with pytest.raises(Refused) as caught:
        read(data, BY)
    assert caught.value.where.startswith(where)
    assert what in caught.value.what
    assert len(str(caught.value)) < 1000


def test_a_number_of_a_million_digits_is_refused_at_once() -> None:
    with pytest.raises(Refused):
        read(table("21;middle;" + "1" * 100_000 + ";1;16;x", header=HEADER), BY)


def test_utf_16_needs_its_mark() -> None:
    data = table("21;middle;74;1;16;x", header=HEADER).decode()
    for codec in ("utf-16-le", "utf-16-be"):
        mark = "\ufeff".encode(codec)
        assert len(readings(mark + data.encode(codec), of_encoding("utf-16"))) == 1
        with pytest.raises(Refused, match="byte order mark"):
            read(data.encode(codec), of_encoding("utf-16"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_a_byte_that_does_not_fit_is_placed_far_into_a_file(encoding: str) -> None:
    """The offset is counted by hand: what stands before, encoded by the standard library."""
    lines = ["21;middle;74;1;16;äöü"] * 9000
    before = (HEADER + "\r\n" + "\r\n".join(lines) + "\r\n21;middle").encode(encoding)
    bad = {"utf-8": b"\xe4;", "utf-16": "\ud800".encode("utf-16-le", "surrogatepass") + b"x\0"}[encoding]
    with pytest.raises(Refused) as caught:
        read(before + bad + "\r\n".encode("utf-16-le" if encoding == "utf-16" else encoding), of_encoding(encoding))
    assert caught.value.where == "line 9002"
    assert f"offset {len(before)} " in caught.value.what


def peak(rows: int) -> int:
    """Return the most memory that reading so many rows, five a case, takes beside the file itself."""
    by = mapping(case_key=[{"column": "Order"}])
    lines = [f"order-{row // 5};21;middle;{70 + row % 977 / 100:.2f};1;16".replace(".", ",") for row in range(rows)]
    data = table(*lines, header="Order;Tooth;Zone;L*;a*;b*")
    tracemalloc.start()
    result = read_table(data, by)
    count = sum(1 for _ in result.cases)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == rows // 5
    return most


def test_memory_follows_the_largest_case_not_the_file() -> None:
    """Five times the rows need what the lines of cases need, some twenty bytes a case, and hardly anything else."""
    peak(2500)  # what is loaded and built once
    few, many = peak(5000), peak(25_000)
    assert many < few * 1.5 + 24 * 4000


def test_one_case_of_many_rows() -> None:
    rows = [f"21;middle;74;1;16;{number}" for number in range(5000)]
    [case] = read_table(table(*rows, header=HEADER), BY).cases
    assert [each["note"] for each in case["readings"]] == [str(number) for number in range(5000)]
    assert case["readings"][-1]["id"] == "reading-5000"
