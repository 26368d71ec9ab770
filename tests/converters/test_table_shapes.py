"""Shapes of tables beyond one row a reading: long rows, headers that come again, cells that were merged."""

import pytest
from table_mappings import COLOUR, LAB, TOOTH, ZONE, Value, mapping, read, readings, table

from shadefmt.converters.table import read_table
from shadefmt.errors import Refused, WrongUse

LONG = "Tooth;Zone;What;Value"


def long(*headers: str, **members: object) -> Value:
    rows = {"name_column": {"column": "What"}, "value_column": {"column": "Value"}, "headers": list(headers)}
    return mapping(long_rows=rows, **members)


def test_long_rows_of_coordinates_are_readings() -> None:
    data = table(
        *("21;middle;L*;74,1", "21;middle;a*;1,9", "21;middle;b*;16,2"),
        *("21;middle;b*;16,3", "21;middle;L*;74,3", "21;middle;a*;2"),
        *("21;incisal;L*;70", "21;incisal;a*;0", "21;incisal;b*;11"),
        header=LONG,
    )
    cases, loss, _ = read(data, long("L*", "a*", "b*"))
    assert [(each["zone"], *each["colours"][0]["lab"].values()) for each in cases[0]["readings"]] == [
        ("middle", 74.1, 1.9, 16.2),
        ("middle", 74.3, 2, 16.3),
        ("incisal", 70, 0, 11),
    ]
    assert loss["lossless"]


def test_long_rows_of_wavelengths_are_spectra() -> None:
    bands = ("400", "500", "600")
    data = table(
        *(
            f"21;{zone};{band};{0.2 + 0.1 * place:.2f}"
            for zone in ("middle", "incisal")
            for place, band in enumerate(bands)
        ),
        header=LONG,
    )
    spectra = [{"quantity": "reflectance-factor", "unit": "factor"}]
    by = long(*bands, columns=[TOOTH, ZONE], colours=None, spectra=spectra)
    by["dialect"] = {**by["dialect"], "decimal_mark": "point"}
    found = readings(data, by)
    assert [each["zone"] for each in found] == ["middle", "incisal"]
    assert found[0]["spectrum"] == {
        "quantity": "reflectance-factor",
        "start_nm": 400,
        "step_nm": 100,
        "decimals": 2,
        "values": [0.2, 0.3, 0.4],
    }


def test_a_long_row_that_the_mapping_does_not_list_is_refused_at_its_cell() -> None:
    with pytest.raises(Refused, match=r"'C\*' is none of the headers") as caught:
        read(table("21;middle;L*;74", "21;middle;C*;12", header=LONG), long("L*", "a*", "b*"))
    assert caught.value.where == "line 3, column 'What'"
    with pytest.raises(Refused, match="column 'b\\*'"):
        read(table("21;middle;L*;74", "21;middle;a*;1", header=LONG), long("L*", "a*", "b*"))
    with pytest.raises(WrongUse, match="are the same"):
        read(table("21;middle;L*;74", header=LONG), long("L*", "L*"))


def test_a_long_row_with_a_blank_value_still_ends_the_reading_before() -> None:
    rows = ("21;middle;L*;", "21;middle;a*;", "21;middle;b*;", "21;middle;L*;74", "21;middle;a*;1", "21;middle;b*;16")
    cases, _, _ = read(table(*rows, header=LONG), long("L*", "a*", "b*"))
    assert len(cases[0]["readings"]) == 1


def test_headers_that_come_again_are_passed_over_and_said() -> None:
    data = table("21;middle;74;1;16", "Tooth;Zone;L*;a*;b*", "22;middle;73;1;15")
    by = mapping(layout={"header_line": 1, "headers_repeat": True})
    cases, _, result = read(data, by)
    assert len(cases[0]["readings"]) == 2
    assert [(each.code, each.where) for each in result.notices] == [("table-headers-again", "line 3")]
    with pytest.raises(Refused, match="line 3"):
        read(data, mapping())
    numbered = [
        {"column_number": number, "member": column["member"]} for number, column in enumerate([TOOTH, ZONE, *LAB], 1)
    ]
    with pytest.raises(WrongUse, match="no header_line"):
        read(data, mapping(layout={"headers_repeat": True}, columns=numbered))


def test_a_cell_that_was_merged_holds_downwards() -> None:
    columns = [{**TOOTH, "blank_repeats": True}, ZONE, *LAB]
    data = table(";middle;72;1;15", "21;middle;74;1;16", ";incisal;70;0;11", "22;middle;73;1;15", ";incisal;71;0;11")
    cases, loss, _ = read(data, mapping(columns=columns, colours=[COLOUR]))
    teeth = {each["id"]: each.get("tooth") for each in cases[0]["specimens"]}
    assert [teeth[each["specimen_id"]] for each in cases[0]["readings"]] == [None, "21", "21", "22", "22"]
    assert loss["lossless"]


def test_a_spectrum_whose_scale_nobody_decided_is_not_read() -> None:
    data = table("21;middle;0,4;0,5", header="Tooth;Zone;400;500")
    for spectrum, lacking in (({"quantity": "reflectance-factor"}, "unit"), ({"unit": "percent"}, "quantity")):
        with pytest.raises(WrongUse, match=f"does not state the {lacking} of the spectrum"):
            read(data, mapping(columns=[TOOTH, ZONE], colours=None, spectra=[spectrum]))


def test_rows_of_a_case_that_lie_apart_are_brought_together() -> None:
    by = mapping(case_key=[{"column": "Order"}])
    rows = [f"{order};21;middle;{60 + place},5;1;16" for place, order in enumerate("xyxzyx")]
    data = table(*rows, header="Order;Tooth;Zone;L*;a*;b*")
    with pytest.raises(Refused, match="sort the table"):
        read(data, by)
    result = read_table(data, by, group=True)
    cases = list(result.cases)
    assert [[each["colours"][0]["lab"]["L"] for each in case["readings"]] for case in cases] == [
        [60.5, 62.5, 65.5],
        [61.5, 64.5],
        [63.5],
    ]
    assert result.loss()["documents"] == 3
    adjacent = sorted(rows, key=lambda row: "xyz".index(row[0]))
    plainly = list(read_table(table(*adjacent, header="Order;Tooth;Zone;L*;a*;b*"), by).cases)
    assert [case["readings"] for case in plainly] == [case["readings"] for case in cases]


def test_a_faulty_cell_keeps_its_line_when_rows_are_brought_together() -> None:
    by = mapping(case_key=[{"column": "Order"}])
    data = table("x;21;middle;70;1;16", "y;21;middle;70;1;16", "x;21;middle;?;1;16", header="Order;Tooth;Zone;L*;a*;b*")
    with pytest.raises(Refused) as caught:
        list(read_table(data, by, group=True).cases)
    assert caught.value.where == "line 4, column 'L*'"
    with pytest.raises(WrongUse, match="no case_key"):
        read_table(data, mapping(), group=True)


def test_labelled_cells_above_the_table_hold_for_every_row() -> None:
    above = b"Readings\nTaken:;04.03.2026;;Illuminant;D65\n\nObserver;10 deg\n"
    data = above + table("21;middle;74,1;1,9;16,2", "21;incisal;70;0,5;11")
    by = mapping(
        layout={"header_line": 5},
        colours=[{"origin": "instrument"}],
        labelled=[
            {"label": "Taken", "member": "reading.at", "date_order": "day-month-year"},
            {"label": "Illuminant", "member": "reading.colour.illuminant"},
            {
                "label": "Observer:",
                "member": "reading.colour.observer",
                "vocabulary": [{"text": "10 deg", "value": "10-degree"}],
            },
        ],
    )
    cases, loss, _ = read(data, by)
    for reading in cases[0]["readings"]:
        assert reading["at"] == "2026-03-04"
        assert (reading["colours"][0]["illuminant"], reading["colours"][0]["observer"]) == ("D65", "10-degree")
    assert [each["instances"][0]["where"] for each in loss["items"] if "code" in each] == ["line 1"]
    with pytest.raises(Refused, match="no cell 'Taken'"):
        read(data.replace(b"Taken", b"Given"), by)
    with pytest.raises(Refused, match="line 2, the cell after 'Taken'"):
        read(data.replace(b"04.03.2026", b"31.02.2026"), by)
    with pytest.raises(WrongUse, match="takes a column"):
        read(data, {**by, "labelled": [{"label": "Taken", "member": "reading.colour.lab.L"}]})
