"""What is refused: cut, damaged and hostile files, each with its place and a remedy, fast and in bounded memory."""

import io
import random
import tracemalloc
from typing import Any

import pytest
from cgats_cases import DATA, table
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.converters.cgats import OWN_FIELDS, read_cgats
from shadefmt.errors import Refused, ShadefmtError
from shadefmt.model.case import Case

ROWS = ("1 75.1 1.2 15.6", "2 74.0 1.9 17.6", "3 70.2 1.0 12.2")
FIELDS = "SAMPLE_ID LAB_L LAB_A LAB_B"
GOOD = [path.read_bytes() for path in sorted(DATA.iterdir())]
WORDS = [
    *(b"BEGIN_DATA", b"END_DATA", b"BEGIN_DATA_FORMAT", b"END_DATA_FORMAT", b"NUMBER_OF_SETS 9\n", b"KEYWORD"),
    *(b'"', b'""', b"#", b"\t", b"\n", b"\r", b",", b"\xff", b"\0", b"\x1a", b"nan", b"1e9", b"-", b"LAB_L"),
    *(b"SPECTRAL_NM", b'SPECTRAL_NORM "100"\n', b"\xef\xbb\xbf", b"\xff\xfe", b"ILLUMINANT D50/2\n", b"=", b";"),
]


@pytest.mark.parametrize(
    ("name", "place", "says", "helps"),
    [
        ("cut.txt", "line 8", "END_DATA", "export the file again"),
        ("no-format.txt", "line 3", "BEGIN_DATA_FORMAT", "field names"),
        ("not-a-number.txt", "line 7, LAB_L", "NaN", "readings that have no number"),
        ("gap.txt", "line 7", "6 values", "quotes"),
        ("decimal-comma.txt", "line 10, LAB_L", "decimal comma", "decimal_comma"),
    ],
)
def test_refusals_name_place_and_remedy(name: str, place: str, says: str, helps: str) -> None:
    with pytest.raises(Refused) as caught:
        read_cgats((DATA / name).read_bytes())
    assert caught.value.where == place
    assert says in caught.value.what
    assert helps in caught.value.remedy


@pytest.mark.parametrize(
    ("data", "place"),
    [
        (b"", "line 1"),
        (b"   \n\n", "line 2"),
        (b"just a letter\nto somebody\n", "line 2"),
        (b"{}", "line 1"),
        (b"CGATS.17\nEND_DATA\n", "line 2"),
        (b"CGATS.17\nBEGIN_DATA_FORMAT\nLAB_L\nBEGIN_DATA\n1\nEND_DATA\n", "line 2"),
        (b"CGATS.17\nBEGIN_DATA_FORMAT\nLAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n", "line 4"),
        (table(FIELDS), "line 6"),
        (table("SAMPLE_ID CMYK_C CMYK_M", "1 2 3"), "line 7"),
        (table("LAB_L LAB_A LAB_B LAB_L", "1 2 3 4"), "line 5"),
        (table(FIELDS, "1 75.1 1.2"), "line 6"),
        (table(FIELDS, "1 75.1 1.2 15.6 9"), "line 6"),
        (table(FIELDS, *ROWS, "4 75.1 1.2"), "line 9"),
        (table(FIELDS, '1 75.1 1.2 "15.6'), "line 6"),
        (table(FIELDS, '1 75.1 1.2 "15"6'), "line 6"),
        (table(FIELDS, "1 75.1 1.2 inf"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 1e999"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 1e7"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 1_0"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 ١"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 --1"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 0x1F"), "line 6, LAB_B"),
        (table(FIELDS, "1 75.1 1.2 15.6\nBEGIN_DATA"), "line 7"),
        (table(FIELDS, "1 75.1 \0 15.6"), "line 6"),
        (table(FIELDS, *ROWS) + b"NUMBER_OF_SETS 4\n", "line 10"),
        (table(FIELDS, *ROWS) + b"BEGIN_DATA_FORMAT\nLAB_L", "line 10"),
        (table(FIELDS, "1 75.1 1.2 15.6").replace(b"CGATS", b"\x81\xff"), "line 1"),
    ],
)
def test_what_is_no_whole_file_is_refused(data: bytes, place: str) -> None:
    with pytest.raises(Refused) as caught:
        read_cgats(data)
    assert caught.value.where == place


def test_numbers_with_a_point_where_commas_were_announced_are_refused() -> None:
    with pytest.raises(Refused, match="point"):
        read_cgats(table(FIELDS, "1 75.100 1.2 15.6"), decimal_comma=True)


@pytest.mark.parametrize(("count", "whole"), [(None, False), (2, True), (1, False), (3, False)])
def test_rows_on_several_lines_need_the_declared_number(count: int | None, whole: bool) -> None:
    header = f"NUMBER_OF_SETS {count}" if count else ""
    data = table(FIELDS, "1 75.1", "1.2 15.6", "2 74.0 1.9", "17.6", header=header)
    if whole:
        assert len(read_cgats(data).case["readings"]) == 2
    else:
        with pytest.raises(Refused, match=r"another number of values|2 values"):
            read_cgats(data)


def test_lost_values_are_not_joined_to_a_row() -> None:
    """Two rows lost two values each; together they have as many as one row, and the declared number tells."""
    with pytest.raises(Refused):
        read_cgats(table(FIELDS, ROWS[0], "2 74.0", "3 70.2", header="NUMBER_OF_SETS 3"))


def whole_ends(data: bytes) -> list[int]:
    """Where a table of a file ends: right behind each END_DATA."""
    ends, place = [], 0
    while (place := data.find(b"END_DATA", place)) >= 0:
        place += len(b"END_DATA")
        if data[place : place + 7] != b"_FORMAT":
            ends.append(place)
    return ends


@pytest.mark.parametrize("name", ["plain.txt", "two-tables.txt", "pairs.txt", "spreadsheet.txt", "mixed-line-ends.txt"])
def test_a_file_cut_at_any_byte_is_refused_or_said_to_be_uncertain(name: str) -> None:
    data = (DATA / name).read_bytes()
    ends = whole_ends(data)
    whole = read_cgats(data, percent=False).case["readings"]
    for place in range(len(data)):
        if place < ends[0]:
            with pytest.raises(Refused):
                read_cgats(data[:place], percent=False)
            continue
        behind = data[max(end for end in ends if end <= place) : place]
        try:
            result = read_cgats(data[:place], percent=False)
        except Refused:
            assert behind.strip()
            continue
        said = {notice.code for notice in result.notices} & {"keywords-after-data", "last-line-unended"}
        assert said or not behind.strip() or behind.endswith((b"\n", b"\r"))
        assert result.case["readings"] == whole[: len(result.case["readings"])]


def test_a_large_file_cut_anywhere_is_refused() -> None:
    rows = [f"{number} 75.1 1.2 15.6" for number in range(5000)]
    data = table(FIELDS, *rows, header="NUMBER_OF_SETS 5000")
    draw = random.Random(11)
    for place in [draw.randrange(len(data) - len("END_DATA\n")) for _ in range(30)]:
        with pytest.raises(Refused):
            read_cgats(data[:place])


@given(st.data())
def test_damaged_files_raise_nothing_but_our_own(data: Any) -> None:
    raw = bytearray(data.draw(st.sampled_from(GOOD)))
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(raw)))
        kind = data.draw(st.sampled_from(["cut", "word", "byte", "copy"]))
        if kind == "cut":
            del raw[place : place + data.draw(st.integers(1, 20))]
        elif kind == "word":
            raw[place:place] = data.draw(st.sampled_from(WORDS))
        elif kind == "byte" and place < len(raw):
            raw[place] = data.draw(st.integers(0, 255))
        else:
            start = data.draw(st.integers(0, len(raw)))
            raw[place:place] = raw[start : start + 40]
    try:
        result = read_cgats(
            bytes(raw),
            fields=data.draw(st.sampled_from([None, OWN_FIELDS, {"id": "SAMPLE_ID"}])),
            notation="iso-3950",
            decimal_comma=data.draw(st.booleans()),
            percent=data.draw(st.sampled_from([None, True, False])),
        )
    except ShadefmtError:
        return
    Case.model_validate(result.case)
    lists = ("instruments", "specimens", "sessions", "readings")
    ids = [each["id"] for name in lists for each in result.case.get(name, ())]
    assert len(set(ids)) == len(ids)


@given(st.binary(max_size=200))
def test_arbitrary_bytes_raise_nothing_but_our_own(raw: bytes) -> None:
    with pytest.raises(Refused):
        read_cgats(raw)


@pytest.mark.parametrize(
    "data",
    [
        b"x" * 10**6,
        b"CGATS.17\n" + b'"' * 10**6,
        b"CGATS.17\nBEGIN_DATA_FORMAT\n" + b"F " * 10**5,
        b"CGATS.17\nBEGIN_DATA_FORMAT\n" + b"F\n" * 10**5,
        table(" ".join(f"nm{wave}" for wave in range(1000, 9000)), "1"),
        table(FIELDS, "1 " * 10**5),
        table(FIELDS, "1\n" * 10**5),
        table(FIELDS, '"' * 10**5),
        table(FIELDS, '1 75 1 "' + '""' * 50_000),
        table(FIELDS, "9" * 10**5 + " 75 1 " + "9" * 10**4),
        b"NUMBER_OF_FIELDS 999999999999\nNUMBER_OF_SETS 999999999\nBEGIN_DATA\n",
    ],
)
def test_hostile_files_are_refused_before_they_cost_anything(data: bytes) -> None:
    tracemalloc.start()
    with pytest.raises(Refused):
        read_cgats(data)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 40 * 2**20


def test_declared_counts_reserve_nothing() -> None:
    data = table(FIELDS, *ROWS, header="NUMBER_OF_SETS 999999999\nNUMBER_OF_FIELDS 999999999")
    assert len(read_cgats(data).case["readings"]) == 3


def test_a_pipe_is_read_like_a_file() -> None:
    class Pipe(io.RawIOBase):
        def __init__(self, data: bytes) -> None:
            self._data = io.BytesIO(data)

        def readable(self) -> bool:
            return True

        def readinto(self, buffer: Any) -> int:
            return self._data.readinto(buffer)

    data = table(FIELDS, *ROWS)
    assert read_cgats(io.BufferedReader(Pipe(data))) == read_cgats(data)


def test_many_names_are_counted_together() -> None:
    draw = random.Random(3)
    names = [f"X{draw.getrandbits(40)}" for _ in range(2000)]
    result = read_cgats(table(" ".join([*names, "LAB_L LAB_A LAB_B"]), " ".join(["1"] * 2003)))
    assert len(result.loss["items"]) < 500
    assert sum(item["count"] for item in result.loss["items"] if item["path"].startswith(("fields/X", "("))) >= 2000
