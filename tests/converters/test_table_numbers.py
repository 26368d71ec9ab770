"""Numbers of tables against the decimal module of the standard library; dates against datetime."""

from datetime import date, datetime, time
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from table_mappings import COLOUR, KIND, item, mapping, one, read, readings, table

from shadefmt.converters.table.dates import date_of, time_of, timestamp_of
from shadefmt.converters.table.numbers import NumberForm, NumberReader
from shadefmt.errors import Refused
from shadefmt.vocabulary import DateOrder

MARKS = {"point": ".", "comma": ",", "blank": "\u00a0", "apostrophe": "'"}


@given(
    st.integers(-(10**9), 10**9),
    st.integers(0, 9),
    st.sampled_from(["point", "comma"]),
    st.sampled_from([-3, -2, 0, 2]),
)
def test_value_and_decimals_are_those_of_the_decimal_module(digits: int, decimals: int, mark: str, shift: int) -> None:
    exact = Decimal(digits).scaleb(-decimals)
    text = f"{exact:f}".replace(".", MARKS[mark])
    value, shown = NumberReader(NumberForm(mark, None, shift))(text)  # type: ignore[arg-type]
    assert Decimal(repr(float(exact.scaleb(shift)))) == Decimal(repr(float(value)))
    assert shown == max(0, decimals - shift)


@given(st.decimals(-1000, 1000, allow_nan=False, places=12), st.integers(0, 10))
def test_rounding_is_that_of_the_decimal_module(exact: Decimal, decimals: int) -> None:
    rounded = NumberReader(NumberForm()).rounded(str(exact), decimals)
    assert rounded == float(exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN))


@given(st.integers(0, 10**12), st.integers(0, 99), st.sampled_from(["point", "comma"]), st.data())
def test_thousands_marks(whole: int, hundredths: int, mark: str, data: st.DataObject) -> None:
    group = data.draw(st.sampled_from(sorted(MARKS.keys() - {mark})))
    text = f"{whole:,}".replace(",", MARKS[group]) + MARKS[mark] + f"{hundredths:02}"
    value, decimals = NumberReader(NumberForm(mark, group))(text)  # type: ignore[arg-type]
    assert (value, decimals) == (float(f"{whole}.{hundredths:02}"), 2)


@pytest.mark.parametrize(
    ("text", "value", "decimals"),
    [
        ("74.10", 74.1, 2),
        ("74", 74, 0),
        ("74.", 74, 0),
        (".5", 0.5, 1),
        ("+1.50", 1.5, 2),
        ("-0.0", 0, 1),
        ("\u22121.5", -1.5, 1),
        (" 1.5\t", 1.5, 1),
        ("1.5e-2", 0.015, 3),
        ("7.41E+01", 74.1, 1),
        ("1e3", 1000, 0),
        ("1e-400", 0, 400),
        ("0.30000000000000004", 0.30000000000000004, 17),
    ],
)
def test_forms_of_numbers(text: str, value: float, decimals: int) -> None:
    assert NumberReader(NumberForm())(text) == (value, decimals)


@pytest.mark.parametrize(
    "text",
    [
        *("", ".", "-", "+-1", "e5", "1e", "1e5.0", "1,5", "1 5", "1_000", "0x1f", "nan", "NaN", "inf", "-inf", "1..2"),
        *("1e400", "-1e400", "1e99999", "\u0661", "\uff11", "1/2", "12%", "=1", "1" * 500, "1.5.", "--1", "1-", "(1)"),
    ],
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        NumberReader(NumberForm())(text)


@pytest.mark.parametrize(
    "text", ["1.234.5678,0", "12.34,0", "1234.567,0", ".123,0", "1.23", "1,2,3", "1,234.5", "1..234"]
)
def test_groups_of_thousands_have_three_digits(text: str) -> None:
    with pytest.raises(Refused):
        NumberReader(NumberForm("comma", "point"))(text)


def test_a_sign_of_per_cent_is_read_only_with_that_unit() -> None:
    assert NumberReader(NumberForm(shift=-2, percent_sign=True))("65.32 %") == (0.6532, 4)
    with pytest.raises(Refused, match="unit percent"):
        NumberReader(NumberForm())("65.32 %")


def test_the_other_decimal_mark_is_named_in_the_remedy() -> None:
    with pytest.raises(Refused) as caught:
        read(table("21;middle;74.1;1;16"), mapping())
    assert caught.value.where == "line 2, column 'L*'"
    assert "decimal comma" in caught.value.remedy


def test_decimals_are_the_most_that_the_cells_of_a_colour_show() -> None:
    found = readings(table("21;middle;74;1,5;16,28", "21;middle;74;1;16"), mapping())
    assert [each["colours"][0]["decimals"] for each in found] == [2, 0]


def test_stated_decimals_hold_and_rounding_is_accounted_for() -> None:
    data = table("21;middle;74,125;1,5;16,285", "21;middle;74;1;16")
    cases, loss, _ = read(data, mapping(colours=[{**COLOUR, "decimals": 2}]))
    first, second = (each["colours"][0] for each in cases[0]["readings"])
    assert (first["decimals"], second["decimals"]) == (2, 2)
    assert first["lab"] == {"L": 74.12, "a": 1.5, "b": 16.28}
    assert item(loss, "column 'L*'", "rounded") == {
        "path": "column 'L*'",
        "fate": "rounded",
        "count": 1,
        "code": "table-number-rounded",
        "reason": "kept to 2 decimals",
        "instances": [{"where": "line 2, column 'L*'", "before": "74,125", "after": "74.12"}],
    }
    assert item(loss, "column 'L*'", "renamed")["count"] == 1
    assert item(loss, "column 'a*'")["count"] == 2


def test_more_decimals_than_a_block_can_state_are_rounded() -> None:
    cases, loss, _ = read(table("21;middle;74,099998474121;1;16"), mapping())
    assert cases[0]["readings"][0]["colours"][0] == {
        **COLOUR,
        "decimals": 10,
        "lab": {"L": 74.0999984741, "a": 1, "b": 16},
    }
    assert not loss["lossless"]


@given(st.lists(st.integers(0, 12000), min_size=2, max_size=31), st.integers(0, 4))
def test_percent_becomes_the_factor_that_the_digits_say(hundredths: list[int], decimals: int) -> None:
    """65.32 % is 0.6532 to the last bit, not 65.32 / 100."""
    texts = [f"{Decimal(each).scaleb(-decimals):f}".replace(".", ",") for each in hundredths]
    bands = [{"column_number": 3 + band, "wavelength_nm": 400 + 10 * band} for band in range(len(texts))]
    by = mapping(
        columns=[{"column_number": 1, "member": "specimen.tooth"}, {"column_number": 2, "member": "reading.zone"}],
        spectra=[{"quantity": "reflectance-factor", "unit": "percent", "bands": bands}],
        colours=None,
        layout=None,
    )
    [reading] = readings(";".join(("21", "middle", *texts)).encode() + b"\n", by)
    spectrum = reading["spectrum"]
    assert spectrum["decimals"] == decimals + 2
    assert spectrum["values"] == [float(Decimal(each).scaleb(-decimals - 2)) for each in hundredths]


def test_units_are_shifted_exactly_and_accounted_for() -> None:
    by = mapping(
        {"column": "window", "member": "instrument.aperture_mm", "unit": "um"},
        {"column": "band", "member": "instrument.bandpass_nm", "unit": "nm"},
        {"column": "minutes", "member": "reading.minutes_since_isolation", "unit": "min"},
        constants=[KIND, {"member": "instrument.kind", "value": "colorimeter"}],
    )
    cases, loss, _ = read(table("21;middle;74;1;16;5300;10;1,5", header="Tooth;Zone;L*;a*;b*;window;band;minutes"), by)
    [instrument] = cases[0]["instruments"]
    assert (instrument["aperture_mm"], instrument["bandpass_nm"]) == (5.3, 10)
    assert cases[0]["readings"][0]["minutes_since_isolation"] == 1.5
    assert item(loss, "column 'window'")["fate"] == "converted"
    assert item(loss, "column 'band'")["fate"] == "renamed"


def test_values_that_the_model_does_not_allow_are_refused() -> None:
    by = mapping(
        {"column": "n", "member": "reading.order"}, {"column": "t", "member": "reading.minutes_since_isolation"}
    )
    header = "Tooth;Zone;L*;a*;b*;n;t"
    for row, where in (("0;1", "n"), ("-1;1", "n"), ("1,0;1", "n"), ("1;-1", "t"), ("1;x", "t")):
        with pytest.raises(Refused, match=f"line 2, column '{where}'"):
            one(table(f"21;middle;74;1;16;{row}", header=header), by)


@given(
    st.dates(), st.times(), st.sampled_from(["year-month-day", "day-month-year", "month-day-year", None]), st.booleans()
)
def test_dates_are_those_of_datetime(day: date, hour: time, order: DateOrder | None, padded: bool) -> None:
    year = f"{day.year:04}"
    month, number = (f"{part:02}" if padded or order is None else str(part) for part in (day.month, day.day))
    parts = {"day-month-year": (number, month, year), "month-day-year": (month, number, year)}
    mark = "-" if order is None else "."
    text = mark.join(parts.get(order or "", (year, month, number)))
    assert date_of(text, order) == day.isoformat()
    clock = hour.replace(microsecond=0, fold=0).isoformat()
    moment = timestamp_of(f"{text} {clock}", order)
    assert datetime.fromisoformat(moment) == datetime.combine(day, hour.replace(microsecond=0))


@pytest.mark.parametrize(
    ("text", "order", "moment"),
    [
        ("2026-03-04", None, "2026-03-04"),
        ("2026-03-04T09:12:30.250+01:00", None, "2026-03-04T09:12:30.250+01:00"),
        ("2026-03-04T09:12Z", None, "2026-03-04T09:12Z"),
        ("2026-03-04 09:12", None, "2026-03-04T09:12"),
        ("2026-03-04t09:12:30,5z", None, "2026-03-04T09:12:30.5Z"),
        ("2026-03-04T09:12+0100", None, "2026-03-04T09:12+01:00"),
        ("2026-03-04T09:12-05", None, "2026-03-04T09:12-05:00"),
        ("4.3.2026 9:12", "day-month-year", "2026-03-04T09:12"),
        ("4. 3. 2026, 9:12", "day-month-year", "2026-03-04T09:12"),
        ("03/04/2026 1:05 PM", "month-day-year", "2026-03-04T13:05"),
        ("03/04/2026 12:05 a.m.", "month-day-year", "2026-03-04T00:05"),
        ("03-04-2026 12:05pm", "month-day-year", "2026-03-04T12:05"),
        ("2026/3/4", "year-month-day", "2026-03-04"),
    ],
)
def test_forms_of_dates(text: str, order: DateOrder | None, moment: str) -> None:
    assert timestamp_of(text, order) == moment


@pytest.mark.parametrize(
    ("text", "order"),
    [
        *[
            (text, None)
            for text in ("", "today", "2026", "2026-03", "20260304", "2026-3-4", "04.03.2026", "2026-02-30")
        ],
        *[
            (text, None)
            for text in ("2026-03-04T", "2026-03-04T9", "2026-03-04T24:00", "2026-03-04T09:60", "2026-03-04x")
        ],
        *[
            (text, None)
            for text in ("2026-03-04T09:12:61", "2026-03-04T09:12+25:00", "0000-01-01", "2026-03-04T09:12+01:99")
        ],
        *[(text, None) for text in ("2026-03-04T09:12:30.0123456789", "\u0662026-03-04", "2026-03-04T13:00 PM")],
        *[
            (text, "day-month-year")
            for text in ("04.03.26", "2026-03-04", "31.04.2026", "4.3/2026", "03/14/2026", "29.2.2025")
        ],
        *[(text, "month-day-year") for text in ("14/03/2026", "3/4/26", "0/1/2026")],
    ],
)
def test_impossible_and_foreign_dates_are_refused(text: str, order: DateOrder | None) -> None:
    with pytest.raises(Refused):
        timestamp_of(text, order)


def test_times_alone() -> None:
    assert time_of("9:05") == "09:05"
    for text in ("", "9", "24:00", "9:5", "13:00 pm", "0:10 am"):
        with pytest.raises(Refused):
            time_of(text)
