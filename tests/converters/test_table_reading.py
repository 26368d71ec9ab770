"""Delimited tables into cases: the ordinary path, the example, what is shared, and what becomes of every cell."""

import importlib.util
import io
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from table_mappings import COLOUR, KIND, LAB, TOOTH, ZONE, item, mapping, one, read, readings, table

from shadefmt.converters.table import read_table
from shadefmt.errors import Refused, WrongUse

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "schema" / "1.0" / "examples"


def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_example_table", ROOT / "scripts" / "make_example_table.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def example() -> tuple[bytes, dict[str, Any]]:
    by = json.loads((EXAMPLES / "chairside-table.shade.json").read_text(encoding="utf-8"))
    return (EXAMPLES / "chairside-table.csv").read_bytes(), by


def test_one_row_is_one_reading() -> None:
    case = one(table("21;middle;74,10;1,9;16"), mapping())
    assert case["specimens"] == [{"id": "specimen-1", "kind": "tooth", "tooth": "21"}]
    assert case["readings"] == [
        {
            "id": "reading-1",
            "specimen_id": "specimen-1",
            "zone": "middle",
            "colours": [
                {
                    "illuminant": "D65",
                    "observer": "2-degree",
                    "decimals": 2,
                    "origin": "instrument",
                    "lab": {"L": 74.1, "a": 1.9, "b": 16},
                }
            ],
        }
    ]
    assert "sessions" not in case
    assert "instruments" not in case


def test_the_example_is_what_its_script_writes() -> None:
    assert generator().table_text().encode() == example()[0]


def test_the_example_gives_one_case() -> None:
    data, by = example()
    cases, loss, result = read(data, by)
    [case] = cases
    assert [(each["kind"], each["tooth"]) for each in case["specimens"]] == [("tooth", "21"), ("stump", "11")]
    assert len(case["sessions"]) == len(case["instruments"]) == len(case["parties"]) == 1
    assert case["subject"] == {"pseudonym": "w4Tn8s"}
    assert len(case["readings"]) == 18
    assert [each["order"] for each in case["readings"]] == list(range(1, 19))
    first = case["readings"][0]
    assert first["spectrum"]["decimals"] == 4
    assert (first["spectrum"]["start_nm"], first["spectrum"]["step_nm"]) == (400, 10)
    assert len(first["spectrum"]["values"]) == 31
    assert first["spectrum"]["values"][0] == 0.2338  # written 23,38 per cent
    assert first["colours"][0]["lab"] == {"L": 71.9, "a": 3.11, "b": 20.8}
    assert result.notices == []
    assert [each["path"] for each in loss["items"] if "code" in each] == ["lines above the table"]
    assert item(loss, "column 'R 400 nm' to column 'R 700 nm'")["count"] == 18 * 31


def test_the_example_lies_where_teeth_and_dentine_lie() -> None:
    """The middle third of a front tooth near L* 74-75, cervical darker and yellower, incisal bluer, dentine darker."""
    data, by = example()
    case = one(data, by)
    lab = {(each["specimen_id"], each["zone"]): each["colours"][0]["lab"] for each in reversed(case["readings"])}
    tooth = {zone: lab["specimen-1", zone] for zone in ("cervical", "middle", "incisal")}
    assert 74 <= tooth["middle"]["L"] <= 75
    assert tooth["cervical"]["L"] < tooth["middle"]["L"]
    assert tooth["cervical"]["b"] > tooth["middle"]["b"] > tooth["incisal"]["b"]
    assert lab["specimen-2", "middle"]["L"] < 60


def test_the_same_input_gives_the_same_ids_and_another_another() -> None:
    data, by = example()
    assert one(data, by) == one(data, by)
    assert one(data, by)["id"] != one(data + b"\n", by)["id"]
    assert one(data, by)["id"] != one(data, {**by, "title": "another"})["id"]
    assert one(data, by)["id"] == one(data, dict(reversed(by.items())))["id"]  # the order of members means nothing


def test_cases_by_key_are_read_one_by_one() -> None:
    by = mapping(case_key=[{"column": "Order"}])
    data = table(
        "x;21;middle;74;1;16", "x;21;cervical;71;2;19", "y;21;middle;73;1;15", header="Order;Tooth;Zone;L*;a*;b*"
    )
    result = read_table(io.BytesIO(data), by)
    first = next(result.cases)
    assert len(first["readings"]) == 2
    with pytest.raises(WrongUse, match="read all cases"):
        result.loss()
    second = next(result.cases)
    assert first["id"] != second["id"]
    assert second["readings"][0]["id"] == "reading-1"
    assert next(result.cases, None) is None
    loss = result.loss()
    assert (loss["documents"], loss["readings"]) == (2, 3)
    assert item(loss, "column 'Order'")["code"] == "table-key-not-carried"


def test_rows_of_a_case_that_are_not_adjacent_are_refused_naming_both() -> None:
    by = mapping(case_key=[{"column": "Order"}])
    rows = ("x;21;middle;74;1;16", "y;21;middle;73;1;15", "x;21;middle;74;1;16")
    with pytest.raises(Refused) as caught:
        read(table(*rows, header="Order;Tooth;Zone;L*;a*;b*"), by)
    assert caught.value.where == "line 4"
    assert "line 2" in caught.value.what


def test_a_blank_case_key_is_refused() -> None:
    by = mapping(case_key=[{"column": "Order"}])
    with pytest.raises(Refused, match=r"line 2.*blank"):
        read(table(" ;21;middle;74;1;16", header="Order;Tooth;Zone;L*;a*;b*"), by)


def test_two_key_columns_do_not_run_together() -> None:
    by = mapping(case_key=[{"column": "P"}, {"column": "Q"}])
    cases, _, _ = read(table("a;bc;21;middle;74;1;16", "ab;c;21;middle;74;1;16", header="P;Q;Tooth;Zone;L*;a*;b*"), by)
    assert len({case["id"] for case in cases}) == 2


def test_specimens_sessions_and_instruments_are_shared_where_they_are_equal() -> None:
    by = mapping(
        {"column": "Model", "member": "instrument.model"},
        {"column": "Begun", "member": "session.started"},
        constants=[KIND, {"member": "instrument.kind", "value": "spectrophotometer"}],
    )
    header = "Tooth;Zone;L*;a*;b*;Model;Begun"
    case = one(
        table(
            "21;middle;74;1;16;Heron;2026-03-04T09:00",
            "21;cervical;71;1;16;Heron;2026-03-04T09:00",
            "11;middle;74;1;16;Heron;2026-03-05",
            "21;middle;74;1;16;;2026-03-04T09:00",
            header=header,
        ),
        by,
    )
    assert case["instruments"] == [
        {"id": "instrument-1", "kind": "spectrophotometer", "model": "Heron"},
        {"id": "instrument-2", "kind": "spectrophotometer"},
    ]
    assert [(each["instrument_id"], each["started"]) for each in case["sessions"]] == [
        ("instrument-1", "2026-03-04T09:00"),
        ("instrument-1", "2026-03-05"),
        ("instrument-2", "2026-03-04T09:00"),
    ]
    assert [each["session_id"] for each in case["readings"]] == ["session-1", "session-1", "session-2", "session-3"]
    assert [each["specimen_id"] for each in case["readings"]] == [
        "specimen-1",
        "specimen-1",
        "specimen-2",
        "specimen-1",
    ]


def test_key_columns_tell_entities_apart_and_bring_them_together() -> None:
    by = mapping(
        {"column": "Note", "member": "specimen.note"},
        specimen_key=[{"column": "Thing"}],
        session_key=[{"column": "Visit"}],
    )
    header = "Tooth;Zone;L*;a*;b*;Note;Thing;Visit"
    case = one(
        table("21;middle;74;1;16;;p;1", "21;middle;73;1;16;chipped;p;1", "21;middle;72;1;16;;q;2", header=header),
        by,
    )
    assert case["specimens"] == [
        {"id": "specimen-1", "kind": "tooth", "tooth": "21", "note": "chipped"},
        {"id": "specimen-2", "kind": "tooth", "tooth": "21"},
    ]
    assert case["sessions"] == [{"id": "session-1"}, {"id": "session-2"}]


def test_what_contradicts_an_earlier_row_with_the_same_key_is_refused_naming_both() -> None:
    by = mapping(specimen_key=[{"column": "Thing"}])
    with pytest.raises(Refused) as caught:
        read(table("21;middle;74;1;16;p", "22;middle;73;1;16;p", header="Tooth;Zone;L*;a*;b*;Thing"), by)
    assert caught.value.where == "line 3"
    assert "line 2" in caught.value.what


def test_two_pseudonyms_in_one_case_are_refused() -> None:
    by = mapping({"column": "P", "member": "subject.pseudonym"})
    header = "Tooth;Zone;L*;a*;b*;P"
    assert one(table("21;middle;74;1;16;", "21;middle;73;1;16;k7", header=header), by)["subject"] == {"pseudonym": "k7"}
    with pytest.raises(Refused, match=r"line 3.*line 2"):
        read(table("21;middle;74;1;16;k8", "21;middle;73;1;16;k7", header=header), by)


def test_groups_read_several_zones_of_one_row() -> None:
    zones = ("cervical", "middle", "incisal")
    letters = ("L", "a", "b")
    by = mapping(
        columns=[
            TOOTH,
            {"column": "Taken", "member": "reading.at"},
            *(
                {"column": f"{zone} {letter}", "member": f"reading.colour.lab.{letter}", "group": zone}
                for zone in zones
                for letter in letters
            ),
        ],
        groups=[{"name": zone, "constants": [{"member": "reading.zone", "value": zone}]} for zone in zones],
    )
    header = ";".join(("Tooth", "Taken", *(f"{zone} {letter}" for zone in zones for letter in letters)))
    data = table(
        "21;2026-03-04;71;3;20;74;1;16;70;0;11",
        "22;2026-03-05;;;;73;1;15;;;",
        "23;2026-03-05;;;;;;;;;",
        header=header,
    )
    cases, loss, _ = read(data, by)
    found = [
        (each["specimen_id"], each["zone"], each["at"], each["colours"][0]["lab"]["L"]) for each in cases[0]["readings"]
    ]
    assert found == [
        ("specimen-1", "cervical", "2026-03-04", 71),
        ("specimen-1", "middle", "2026-03-04", 74),
        ("specimen-1", "incisal", "2026-03-04", 70),
        ("specimen-2", "middle", "2026-03-05", 73),
    ]
    assert [each["tooth"] for each in cases[0]["specimens"]] == ["21", "22"]
    assert item(loss, "column 'Tooth'", "renamed")["count"] == 2
    assert item(loss, "column 'Tooth'", "dropped")["code"] == "table-reading-without-measurement"
    assert item(loss, "column 'Taken'", "dropped")["instances"] == [{"where": "line 4, column 'Taken'"}]
    assert item(loss, "column 'cervical L'")["count"] == 1


def test_groups_may_differ_in_specimen_and_have_columns_of_their_own() -> None:
    def column(text: str, member: str, group: str) -> dict[str, str]:
        return {"column": text, "member": member, "group": group}

    by = mapping(
        constants=None,
        columns=[
            TOOTH,
            *(column(f"{which}{letter}", f"reading.colour.lab.{letter}", which) for which in "st" for letter in "Lab"),
            column("wet", "reading.hydration", "t"),
        ],
        groups=[
            {
                "name": which,
                "constants": [
                    {"member": "specimen.kind", "value": kind},
                    {"member": "reading.zone", "value": "middle"},
                ],
            }
            for which, kind in (("s", "stump"), ("t", "tooth"))
        ],
    )
    cases, loss, _ = read(
        table("11;58;6;21;74;1;16;moist", "12;58;6;21;;;;moist", header="Tooth;sL;sa;sb;tL;ta;tb;wet"), by
    )
    assert [(each["kind"], each["tooth"]) for each in cases[0]["specimens"]] == [
        ("stump", "11"),
        ("tooth", "11"),
        ("stump", "12"),
    ]
    assert [each.get("hydration") for each in cases[0]["readings"]] == [None, "moist", None]
    assert item(loss, "column 'wet'", "dropped")["instances"] == [{"where": "line 3, column 'wet'"}]


def test_a_row_without_a_measurement_describes_its_specimen_only() -> None:
    by = mapping({"column": "Note", "member": "reading.note"})
    cases, loss, _ = read(table("21;middle;74;1;16;", "22;middle;;;;later", header="Tooth;Zone;L*;a*;b*;Note"), by)
    assert [each["tooth"] for each in cases[0]["specimens"]] == ["21", "22"]
    assert len(cases[0]["readings"]) == 1
    assert item(loss, "column 'Tooth'")["count"] == 2
    assert item(loss, "column 'Zone'", "renamed")["count"] == 1
    assert item(loss, "column 'Zone'", "dropped")["count"] == 1
    assert item(loss, "column 'Note'")["fate"] == "dropped"


def test_several_colours_and_a_spectrum_belong_to_one_reading() -> None:
    by = mapping()
    by["columns"] = [
        TOOTH,
        ZONE,
        *({**each, "colour": "day"} for each in LAB),
        *(
            {"column": f"{letter} print", "member": f"reading.colour.lab.{letter}", "colour": "print"}
            for letter in "Lab"
        ),
        *(
            {"column": letter, "member": f"reading.colour.xyz.{letter}", "colour": "day", "unit": "factor"}
            for letter in "XYZ"
        ),
    ]
    by["colours"] = [
        {"name": "day", **COLOUR, "decimals": 2},
        {"name": "print", "illuminant": "D50", "observer": "10-degree", "origin": "copied"},
    ]
    by["spectra"] = [
        {
            "quantity": "reflectance-factor",
            "unit": "factor",
            "bands": [
                {"column": "blue", "wavelength_nm": 450},
                {"column": "green", "wavelength_nm": 520.5},
                {"column": "red", "wavelength_nm": 600},
            ],
        }
    ]
    header = "Tooth;Zone;L*;a*;b*;L print;a print;b print;X;Y;Z;green;blue;red"
    [reading] = readings(table("21;middle;74,1;1,9;16,2;74;2;17;0,4412;0,4701;0,36;0,51;0,4;0,6", header=header), by)
    assert reading["colours"] == [
        {
            "illuminant": "D65",
            "observer": "2-degree",
            "decimals": 2,
            "origin": "instrument",
            "lab": {"L": 74.1, "a": 1.9, "b": 16.2},
            "xyz": {"X": 44.12, "Y": 47.01, "Z": 36},
        },
        {
            "illuminant": "D50",
            "observer": "10-degree",
            "decimals": 0,
            "origin": "copied",
            "lab": {"L": 74, "a": 2, "b": 17},
        },
    ]
    assert reading["spectrum"] == {
        "quantity": "reflectance-factor",
        "wavelengths_nm": [450, 520.5, 600],
        "decimals": 2,
        "values": [0.4, 0.51, 0.6],
    }


def test_illuminant_observer_and_origin_may_stand_in_columns() -> None:
    by = mapping(
        {"column": "Light", "member": "reading.colour.illuminant", "vocabulary": [{"text": "day", "value": "D65"}]},
        {"column": "From", "member": "reading.colour.origin"},
        colours=[{"observer": "2-degree", "origin": "typed"}],
    )
    header = "Tooth;Zone;L*;a*;b*;Light;From"
    cases, loss, _ = read(
        table(
            "21;middle;74;1;16;day;instrument",
            "21;middle;74;1;16;A;",
            "21;middle;74;1;16;;copied",
            "21;middle;;;;A;",
            header=header,
        ),
        by,
    )
    colours = [each["colours"][0] for each in cases[0]["readings"]]
    assert [(each["illuminant"], each["origin"]) for each in colours] == [
        ("D65", "instrument"),
        ("A", "typed"),
        ("unknown", "copied"),
    ]
    assert item(loss, "column 'Light'", "defaulted")["instances"] == [
        {"where": "line 4, column 'Light'", "after": "unknown"}
    ]
    assert item(loss, "column 'From'", "defaulted")["count"] == 1
    assert item(loss, "column 'Light'", "converted")["count"] == 1
    assert item(loss, "column 'Light'", "dropped")["instances"] == [{"where": "line 5, column 'Light'"}]
    with pytest.raises(Refused, match="line 2, column 'From'"):
        read(table("21;middle;74;1;16;day;", header=header), {**by, "colours": [{"observer": "2-degree"}]})


def test_tooth_notation_is_stated_and_converted() -> None:
    data = table("9;middle;74;1;16")
    assert one(data, mapping(tooth_notation="universal"))["specimens"][0]["tooth"] == "21"
    _, loss, _ = read(data, mapping(tooth_notation="universal"))
    assert item(loss, "column 'Tooth'") == {
        "path": "column 'Tooth'",
        "fate": "converted",
        "count": 1,
        "to": "/specimens/*/tooth",
        "reason": "from the notation universal",
    }
    assert one(table("UL1;middle;74;1;16"), mapping(tooth_notation="palmer"))["specimens"][0]["tooth"] == "21"
    with pytest.raises(Refused, match=r"line 2, column 'Tooth'.*supernumerary"):
        read(table("59;middle;74;1;16"), mapping(tooth_notation="universal"))
    with pytest.raises(Refused, match="line 2, column 'Tooth'"):
        read(data, mapping())


def test_text_is_kept_to_the_letter() -> None:
    by = mapping({"column": "Note", "member": "reading.note"})
    texts = [
        "=1+2",
        "+4",
        "-x",
        "@sum",
        " padded ",
        "two\nlines",
        'say "a"',
        "\ufeffmark",
        "\u202etrick",
        "Zähne, ß, 歯",
    ]
    rows = [f'21;middle;74;1;16;"{text.replace(chr(34), chr(34) * 2)}"' for text in texts]
    found = readings(table(*rows, header="Tooth;Zone;L*;a*;b*;Note"), by)
    assert [each["note"] for each in found] == texts


def test_a_constant_is_what_a_blank_cell_means_and_that_is_a_loss() -> None:
    by = mapping(
        {"column": "Wet", "member": "reading.hydration"},
        {"column": "Minutes", "member": "reading.minutes_since_isolation"},
        constants=[
            KIND,
            {"member": "reading.hydration", "value": "unknown"},
            {"member": "reading.minutes_since_isolation", "value": "2.5"},
        ],
    )
    header = "Tooth;Zone;L*;a*;b*;Wet;Minutes"
    cases, loss, _ = read(
        table("21;middle;74;1;16;moist;1", "21;middle;74;1;16;;", "21;cervical;74;1;16;;", header=header), by
    )
    assert [each["hydration"] for each in cases[0]["readings"]] == ["moist", "unknown", "unknown"]
    assert [each["minutes_since_isolation"] for each in cases[0]["readings"]] == [1, 2.5, 2.5]
    assert item(loss, "column 'Wet'", "defaulted")["count"] == 2
    assert item(loss, "column 'Minutes'", "defaulted")["count"] == 2
    assert not loss["lossless"]


def test_blank_words_and_optional_blocks() -> None:
    by = mapping(
        {"column": "Calibrated", "member": "session.calibration.at"},
        blank_words=["n/a", "-"],
        constants=[
            KIND,
            {"member": "session.calibration.result", "value": "passed"},
            {"member": "session.barrier_fitted", "value": "true"},
        ],
    )
    header = "Tooth;Zone;L*;a*;b*;Calibrated"
    case = one(table("-;middle;74;1;16; n/a ", header=header), by)
    assert case["specimens"] == [{"id": "specimen-1", "kind": "tooth"}]
    assert case["sessions"] == [{"id": "session-1", "barrier_fitted": True}]
    case = one(table("21;middle;74;1;16;2026-03-04", header=header), by)
    assert case["sessions"][0]["calibration"] == {"at": "2026-03-04", "result": "passed"}


def test_a_block_that_lacks_what_the_format_needs_is_refused() -> None:
    by = mapping(
        {"column": "Calibrated", "member": "session.calibration.at"},
        {"column": "Result", "member": "session.calibration.result"},
    )
    header = "Tooth;Zone;L*;a*;b*;Calibrated;Result"
    assert "sessions" not in one(table("21;middle;74;1;16;;", header=header), by)
    with pytest.raises(Refused, match="line 2, column 'Calibrated'"):
        read(table("21;middle;74;1;16;;passed", header=header), by)
    with pytest.raises(Refused, match="line 2, column 'Zone'"):
        read(table("21;;74;1;16"), mapping())


def test_no_header_and_lines_around_the_table() -> None:
    by = mapping(
        columns=[
            {"column_number": 1, "member": "specimen.tooth"},
            {"column_number": 2, "member": "reading.zone"},
            *(
                {"column_number": 3 + index, "member": f"reading.colour.lab.{letter}"}
                for index, letter in enumerate("Lab")
            ),
        ],
        layout={"first_row_line": 3, "end_word": "End"},
    )
    data = b'Exported "today\n\n21;middle;74;1;16;x\n\n21;middle;75;1;16;\nEnd;\nSum;"1\n'
    cases, loss, result = read(data, by)
    assert [each["colours"][0]["lab"]["L"] for each in cases[0]["readings"]] == [74, 75]
    assert item(loss, "lines above the table")["instances"] == [{"where": "line 1"}]
    assert item(loss, "lines below the table")["instances"] == [{"where": "line 7"}]
    assert item(loss, "column 6") == {
        "path": "column 6",
        "fate": "dropped",
        "count": 1,
        "code": "table-column-unused",
        "reason": "the mapping does not mention it",
        "instances": [{"where": "line 3, column 6"}],
    }
    assert [(each.code, each.where) for each in result.notices] == [("table-rows-blank", "line 4")]
    with pytest.raises(Refused, match="closing line"):
        read(data[: data.index(b"End")], by)


def test_without_headers_blank_rows_may_come_first() -> None:
    by = mapping(
        columns=[
            {"column_number": 2, "member": "reading.zone"},
            *({"column_number": 3, "member": f"reading.colour.lab.{letter}"} for letter in "Lab"),
        ],
        layout=None,
    )
    assert len(readings(b"\n;;\n;middle;7\n", by)) == 1
    for data in (b"\n", b"\n;;\n"):
        with pytest.raises(Refused, match="line"):
            read_table(data, by)


def test_a_blank_row_may_end_the_table() -> None:
    by = mapping(layout={"header_line": 1, "first_row_line": 3, "ends_at_blank_row": True})
    data = table("-;-;%;;", "21;middle;74;1;16", " ; ;;;", "not;read", "")
    cases, loss, result = read(data, by)
    assert len(cases[0]["readings"]) == 1
    assert item(loss, "lines between headers and rows")["count"] == 1
    assert item(loss, "lines below the table")["instances"] == [{"where": "line 5"}]
    assert result.notices == []
    _, _, result = read(table("-;-;%;;", "21;middle;74;1;16"), by)
    assert [each.code for each in result.notices] == ["table-end-not-found"]


def test_ignored_and_unused_columns_are_dropped_by_their_own_codes_and_not_quoted() -> None:
    by = mapping(ignored=[{"column": "Name", "reason": "names a person"}, {"column": "absent", "reason": "not here"}])
    rows = [f"21;middle;74;1;16;Jo Larch;{number}" for number in range(5)]
    for full, listed in ((False, 3), (True, 5)):
        _, loss, _ = read(table(*rows, header="Tooth;Zone;L*;a*;b*;Name;Other"), by, full=full)
        name, other = item(loss, "column 'Name'"), item(loss, "column 'Other'")
        assert (name["code"], name["reason"], name["count"]) == ("table-column-ignored", "names a person", 5)
        assert other["code"] == "table-column-unused"
        assert len(name["instances"]) == len(other["instances"]) == listed
        assert "Jo Larch" not in json.dumps(loss)


def test_columns_without_content_and_delimiters_at_line_ends_are_no_loss() -> None:
    for header, row in (
        ("Tooth;Zone;L*;a*;b*;;", "21;middle;74;1;16;;"),
        ("Tooth;Zone;L*;a*;b*", "21;middle;74;1;16;; "),
    ):
        _, loss, _ = read(table(row, header=header), mapping())
        assert loss["lossless"]
    _, loss, _ = read(table("21;middle;74;1;16", header="Tooth;Zone;L*;a*;b*;;"), mapping())
    assert loss["lossless"]


def test_headers_that_occur_twice_need_a_number() -> None:
    by = mapping()
    with pytest.raises(Refused, match="columns 3, 6") as caught:
        read_table(table("21;middle;74;1;16;75", header="Tooth;Zone;L*;a*;b*;L*"), by)
    assert "column_number" in caught.value.remedy
    by["columns"] = [TOOTH, ZONE, {**LAB[0], "column_number": 6}, *LAB[1:]]
    data = table("21;middle;74;1;16;75", header="Tooth;Zone;L*;a*;b*;L*")
    cases, loss, _ = read(data, by)
    assert cases[0]["readings"][0]["colours"][0]["lab"]["L"] == 75
    assert item(loss, "column 'L*' (number 3)")["code"] == "table-column-unused"
    by["columns"][2]["column_number"] = 4
    with pytest.raises(Refused, match="number 4"):
        read_table(data, by)


def test_headers_are_compared_in_normal_form_without_blanks_at_their_ends() -> None:
    by = mapping({"column": "Zähne", "member": "reading.note"})
    data = table("21;middle;74;1;16;x", header=' Tooth ;Zone;L*;a*;"b*";Za\u0308hne')
    assert readings(data, by)[0]["note"] == "x"


def test_wavelength_columns_by_pattern_in_any_order_and_spelling() -> None:
    by = mapping(
        spectra=[
            {"quantity": "reflectance-factor", "unit": "factor", "header_prefix": "R (", "header_suffix": ") rel"}
        ],
        colours=None,
        columns=[TOOTH, ZONE],
        ignored=[{"column": "R (380) rel", "reason": "below the range of use"}],
    )
    header = "Tooth;Zone;R (421) rel;R ( 400,5 ) rel;R (380) rel;R (410.25) rel;R (x) rel;(430) rel"
    cases, loss, _ = read(table("21;middle;0,3;0,1;0,05;0,2;;", header=header), by)
    assert cases[0]["readings"][0]["spectrum"] == {
        "quantity": "reflectance-factor",
        "wavelengths_nm": [400.5, 410.25, 421],
        "decimals": 1,
        "values": [0.1, 0.2, 0.3],
    }
    assert item(loss, "column 'R ( 400,5 ) rel' to column 'R (421) rel'")["count"] == 3
    assert item(loss, "column 'R (380) rel'")["code"] == "table-column-ignored"


def test_spectra_that_are_doubtful_are_noticed_once() -> None:
    by = mapping(
        spectra=[{"quantity": "reflectance-factor", "unit": "factor", "header_prefix": "R"}],
        colours=None,
        columns=[TOOTH, ZONE],
    )
    data = table("21;middle;0,3;0,31", "21;middle;30;31", "21;middle;33;34", header="Tooth;Zone;R400;R410")
    _, _, result = read(data, by)
    assert [(each.code, each.where) for each in result.notices] == [("table-scale-doubtful", "line 3")]
    by["spectra"][0]["unit"] = "percent"
    _, _, result = read(data, by)
    assert [(each.code, each.where) for each in result.notices] == [("table-scale-doubtful", "line 2")]
    _, _, result = read(table("21;middle;30;31", header="Tooth;Zone;R400;R410"), by)
    assert result.notices == []


def test_different_decimals_of_lab_and_xyz_are_noticed() -> None:
    columns = [{"column": letter, "member": f"reading.colour.xyz.{letter}"} for letter in "XYZ"]
    header = "Tooth;Zone;L*;a*;b*;X;Y;Z"
    data = table(
        "21;middle;74,1;1,2;16,3;40,1;42,3;33,1", "21;middle;74,1;1,2;16,3;40,1234;42,3456;33,1", header=header
    )
    cases, _, result = read(data, mapping(*columns))
    assert [each["colours"][0]["decimals"] for each in cases[0]["readings"]] == [1, 4]
    assert [(each.code, each.where) for each in result.notices] == [("table-decimals-mixed", "line 3")]
    _, _, result = read(data, mapping(*columns, colours=[{**COLOUR, "decimals": 4}]))
    assert result.notices == []


def test_date_and_time_in_two_columns() -> None:
    by = mapping(
        {"column": "Day", "member": "reading.at", "time_part": "date", "date_order": "day-month-year"},
        {"column": "Hour", "member": "reading.at", "time_part": "time"},
        {"column": "Day", "member": "session.started", "date_order": "day-month-year"},
    )
    header = "Tooth;Zone;L*;a*;b*;Day;Hour"
    found = readings(
        table("21;middle;74;1;16;4.3.2026;9:05", "21;middle;74;1;16;04.03.2026;", "21;middle;74;1;16;;", header=header),
        by,
    )
    assert [each.get("at") for each in found] == ["2026-03-04T09:05", "2026-03-04", None]
    for row, where in (
        ("21;middle;74;1;16;;9:05", "Day"),
        ("21;middle;74;1;16;31.02.2026;9:05", "Day"),
        ("21;middle;74;1;16;1.2.2026;25:05", "Hour"),
    ):
        with pytest.raises(Refused, match=f"line 2, column '{where}'"):
            read(table(row, header=header), by)


def test_loss_report_accounts_for_every_cell_that_holds_something() -> None:
    data, by = (EXAMPLES / "chairside-table.csv").read_bytes(), example()[1]
    for full in (False, True):
        _, loss, _ = read(data, by, full=full)
        rows = [line.split(";") for line in data.decode().splitlines()[3:]]
        cells = sum(bool(cell) for row in rows for cell in row)
        assert sum(each["count"] for each in loss["items"] if each["path"].startswith("column")) == cells


def test_streams_are_left_open_and_read_from_where_they_stand() -> None:
    data = table("21;middle;74;1;16")
    stream = io.BytesIO(b"skipped" + data)
    stream.seek(7)
    result = read_table(stream, mapping())
    assert [case["id"] for case in result.cases] == [one(data, mapping())["id"]]
    assert not stream.closed
    assert result.loss()["source"]["size_bytes"] == len(data)


def test_a_source_that_cannot_be_rewound_is_read_too() -> None:
    class Pipe(io.RawIOBase):
        def __init__(self, data: bytes) -> None:
            self._inner = io.BytesIO(data)

        def readable(self) -> bool:
            return True

        def readinto(self, buffer: Any) -> int:
            return self._inner.readinto(buffer)

    data = table("21;middle;74;1;16")
    pipe = io.BufferedReader(Pipe(data))
    assert list(read_table(pipe, mapping()).cases) == [one(data, mapping())]


def test_a_case_in_which_nothing_was_measured_is_refused() -> None:
    by = mapping(
        columns=[TOOTH, ZONE, *({**each, "group": "only"} for each in LAB)],
        groups=[{"name": "only"}],
        case_key=[{"column": "Order"}],
    )
    with pytest.raises(Refused, match=r"line 3.*no measurement"):
        read(table("x;21;middle;74;1;16", "y;21;middle;;;", header="Order;Tooth;Zone;L*;a*;b*"), by)


def test_a_closing_line_that_says_more_is_accounted_for() -> None:
    by = mapping(layout={"header_line": 1, "end_word": "Sum"}, ignored=[{"column_number": 6, "reason": "of no use"}])
    _, loss, _ = read(table("21;middle;74;1;16;x", "Sum;;74", header="Tooth;Zone;L*;a*;b*;"), by)
    assert item(loss, "lines below the table")["instances"] == [{"where": "line 3"}]
    assert item(loss, "column 6")["code"] == "table-column-ignored"


def test_blank_keys_fall_back_on_what_the_members_say() -> None:
    by = mapping({"column": "Begun", "member": "session.started"}, session_key=[{"column": "Visit"}])
    header = "Tooth;Zone;L*;a*;b*;Begun;Visit"
    rows = (
        "21;middle;74;1;16;2026-03-04;",
        "21;middle;74;1;16;2026-03-04;",
        "21;middle;74;1;16;;",
        "21;middle;74;1;16;;v",
    )
    case = one(table(*rows, header=header), by)
    assert [each.get("session_id") for each in case["readings"]] == ["session-1", "session-1", None, "session-2"]


def test_a_spectrum_is_whole_or_blank() -> None:
    by = mapping(spectra=[{"quantity": "reflectance-factor", "unit": "factor", "header_prefix": "R"}])
    header = "Tooth;Zone;L*;a*;b*;R400;R410;R420"
    assert "spectrum" not in readings(table("21;middle;74;1;16;;;", header=header), by)[0]
    with pytest.raises(Refused, match="line 2, column 'R410'"):
        read(table("21;middle;74;1;16;0,1;;0,3", header=header), by)
    with pytest.raises(Refused, match="line 2, column 'R420'"):
        read(table("21;middle;74;1;16;0,1;0,2;x", header=header), by)


def test_a_session_names_instrument_and_party_in_the_order_of_the_specification() -> None:
    constants = [
        KIND,
        {"member": "party.role", "value": "clinic"},
        {"member": "instrument.kind", "value": "colorimeter"},
        {"member": "session.calibration.at", "value": "2026-03-04"},
        {"member": "session.calibration.result", "value": "passed"},
    ]
    cases, _, _ = read(table("21;middle;74;1;16"), mapping(constants=constants, case_key=[{"column": "Tooth"}]))
    assert list(cases[0]["sessions"][0]) == ["id", "instrument_id", "party_id", "calibration"]


def test_cases_share_no_parts_that_can_be_changed() -> None:
    constants = [
        KIND,
        {"member": "session.calibration.at", "value": "2026-03-04"},
        {"member": "session.calibration.result", "value": "passed"},
    ]
    by = mapping(constants=constants, case_key=[{"column": "Order"}])
    data = table("x;21;middle;74;1;16", "y;21;middle;74;1;16", header="Order;Tooth;Zone;L*;a*;b*")
    first, second = read(data, by)[0]
    first["sessions"][0]["calibration"]["result"] = "failed"
    first["readings"][0]["colours"][0]["lab"]["L"] = 0
    first["specimens"][0]["tooth"] = "11"
    assert second["sessions"][0]["calibration"]["result"] == "passed"
    assert second["readings"][0]["colours"][0]["lab"]["L"] == 74
    assert second["specimens"][0]["tooth"] == "21"
