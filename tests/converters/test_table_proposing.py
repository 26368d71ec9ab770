"""Mappings proposed from tables alone: once a person has answered, they read what the known mapping reads."""

import contextlib
import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from table_mappings import COLOUR, KIND, Value, mapping, read, table, written

from shadefmt.converters.proposing import propose_mapping
from shadefmt.errors import Refused
from shadefmt.model.table_mapping import TableMapping

DATA = Path(__file__).resolve().parent / "table"
DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "vertical-bar": "|"}
CODECS = {"utf-8": "utf-8-sig", "utf-16": "utf-16", "windows-1252": "cp1252"}
ZONES = ("cervical", "middle", "incisal")
WORDS = {
    "en": (("Tooth", "Zone", "Remark"), ZONES),
    "de": (("Zahn", "Messstelle", "Bemerkung"), ("zervikal", "mittig", "inzisal")),
    "fr": (("Dent", "Région", "Remarque"), ("tiers cervical", "tiers médian", "tiers incisal")),
    "es": (("Diente", "Zona", "Observación"), ("tercio cervical", "tercio medio", "tercio incisal")),
    "it": (("Dente", "Zona", "Osservazioni"), ("terzo cervicale", "terzo medio", "terzo incisale")),
    "pt": (("Dente", "Região", "Observação"), ("terço cervical", "terço médio", "terço incisal")),
    "nl": (("Tand", "Gebied", "Opmerking"), ("cervicaal", "midden", "incisaal")),
}
SPELLINGS = (("R_", "nm"), ("nm", ""), ("SPECTRAL_NM_", ""), ("", ""), ("R ", " nm"))
BANDS = (400, 450, 500, 550, 600)


def answered(proposal: Value, **answers: Any) -> Value:
    """Return a mapping with the answers that a person gives, by the last step of the place that is asked for."""
    made = copy.deepcopy(proposal)
    for question in made.pop("proposal").get("questions", []):
        *steps, last = question["place"].lstrip("/").split("/")
        if last == "constants":
            name = next(each for each in ("specimen.kind", "reading.zone") if each in question["question"])
            made.setdefault("constants", []).append({"member": name, "value": answers[name]})
            continue
        block = made
        for step in steps:
            block = block[int(step)] if isinstance(block, list) else block[step]
        assert last not in block or last == "decimal_mark"
        assert not question.get("answers") or json.dumps(answers[last]).strip('"') in question["answers"]
        block[last] = answers[last]
    TableMapping.model_validate(made)
    return made


def content(case: Value) -> Value:
    return {name: value for name, value in case.items() if name != "id"}


def truth(language: str, dialect: Value, *, spectrum: tuple[str, str] | None, scale: str, wide: bool) -> Value:
    """The mapping that a table was made by."""
    _, zones = WORDS[language]
    tooth = {"column_number": 1, "member": "specimen.tooth"}
    note = {"column_number": 2, "member": "reading.note"}
    vocabulary = [{"text": text, "value": value} for text, value in zip(zones, ZONES, strict=True)]
    sets = zones if wide else (None,)
    columns: list[Value] = [tooth, note]
    place = 3
    if not wide:
        columns.append({"column_number": 3, "member": "reading.zone", "vocabulary": vocabulary})
        place = 4
    for number in range(len(sets)):
        for letter in "Lab":
            group = {"group": ZONES[number]} if wide else {}
            columns.append({"column_number": place, "member": f"reading.colour.lab.{letter}", **group})
            place += 1
    groups = [{"name": zone, "constants": [{"member": "reading.zone", "value": zone}]} for zone in ZONES]
    bands = [{"column_number": place + index, "wavelength_nm": band} for index, band in enumerate(BANDS)]
    return mapping(
        dialect=dialect,
        constants=[KIND],
        colours=[COLOUR],
        columns=columns,
        groups=groups if wide else None,
        spectra=[{"quantity": "reflectance-factor", "unit": scale, "bands": bands}] if spectrum else None,
    )


numbers = st.integers(0, 9999)


@given(
    language=st.sampled_from(sorted(WORDS)),
    delimiter=st.sampled_from(sorted(DELIMITERS)),
    encoding=st.sampled_from(sorted(CODECS)),
    mark=st.sampled_from(["point", "comma"]),
    shape=st.sampled_from(["rows", "rows-and-spectrum", "zones"]),
    spelling=st.sampled_from(SPELLINGS),
    scale=st.sampled_from(["factor", "percent"]),
    quote_all=st.booleans(),
    above=st.integers(0, 2),
    content_of=st.lists(st.tuples(st.sampled_from(["11", "21", "36", "43"]), numbers), min_size=3, max_size=8),
)
def test_a_table_of_a_known_mapping_is_proposed_an_equal_one(
    language: str, delimiter: str, encoding: str, mark: str, shape: str, spelling: tuple[str, str], scale: str,
    quote_all: bool, above: int, content_of: list[tuple[str, int]],
) -> None:  # fmt: skip
    wide, spectrum = shape == "zones", spelling if shape == "rows-and-spectrum" else None
    names, zones = WORDS[language]
    sign = {"point": ".", "comma": ","}[mark]

    def cell(hundredths: float, decimals: int = 2) -> str:
        return f"{hundredths:.{decimals}f}".replace(".", sign)

    headers = [names[0], names[2], *([] if wide else [names[1]])]
    headers += [f"{letter}* {zone}" for zone in zones for letter in "Lab"] if wide else ["L*", "a*", "b*"]
    headers += [f"{spelling[0]}{band}{spelling[1]}" for band in BANDS] if spectrum else []
    rows = [headers]
    for place, (tooth, seed) in enumerate(content_of):
        lab = [cell(value) for value in (60.5 + seed % 29, seed % 7 - 1.25, 10.25 + seed % 13)]
        row = [tooth, "abc"[: seed % 4], *([] if wide else [zones[place % 3]]), *(lab * 3 if wide else lab)]
        if spectrum:
            factors = [0.2 + (seed % 50 + 7 * band) / 200 for band in range(len(BANDS))]
            row += [cell(each * 100, 1) if scale == "percent" else cell(each, 4) for each in factors]
        rows.append(row)
    title = [[f"a title {number}"] + [""] * (len(headers) - 1) for number in range(above)]
    data = written(title + rows, encoding=CODECS[encoding], delimiter=DELIMITERS[delimiter], quoting=int(quote_all))
    dialect = {"encoding": encoding, "delimiter": delimiter, "quote": "double", "decimal_mark": mark}
    known = truth(language, dialect, spectrum=spectrum, scale=scale, wide=wide)
    known["layout"] = {"header_line": above + 1}

    proposal = propose_mapping(data).mapping
    found = answered(
        proposal,
        **COLOUR,
        **{"specimen.kind": "tooth"},
        tooth_notation="iso-3950",
        quantity="reflectance-factor",
        unit=scale,
    )
    if all(ord(each) < 128 for each in "".join(map("".join, title + rows))) and encoding == "windows-1252":
        assert found["dialect"].pop("encoding") == "utf-8"  # ASCII is both
        found["dialect"]["encoding"] = encoding
    assert found["dialect"] == dialect
    assert [content(case) for case in read(data, found)[0]] == [content(case) for case in read(data, known)[0]]
    places = {question["place"] for question in proposal["proposal"]["questions"]}
    assert {"/colours/0/illuminant", "/colours/0/observer", "/colours/0/origin"} <= places


@pytest.mark.parametrize("name", sorted(path.name[:-4] for path in DATA.glob("*.csv") if path.name[:4] != "open"))
def test_exports_of_a_spreadsheet_program_are_read_by_the_proposed_mapping(name: str) -> None:
    """The same readings as by the mapping that stands beside the export."""
    data = (DATA / f"{name}.csv").read_bytes()
    known = json.loads((DATA / f"{name}.shade.json").read_text(encoding="utf-8"))
    found = answered(
        propose_mapping(data).mapping,
        **COLOUR,
        **{"specimen.kind": "tooth"},
        tooth_notation="iso-3950",
        date_order="day-month-year",
        blank_repeats=True,
        blank_words=["#DIV/0!"],
        ignored=[{"column": "Minuten", "reason": "of the test"}],
    )
    if name == "cell-with-error":
        with pytest.raises(Refused, match="blank"):
            read(data, found)
        return
    mine, theirs = (read(data, by)[0][0]["readings"] for by in (found, known))
    assert len(mine) == 6
    without = ("minutes_since_isolation", "specimen_id")
    assert [{k: v for k, v in each.items() if k not in without} for each in mine] == [
        {k: v for k, v in each.items() if k not in without} for each in theirs
    ]


def asked(data: bytes) -> dict[str, str]:
    return {each["place"]: each["question"] for each in propose_mapping(data).questions}


def test_factor_or_percent_is_asked_where_both_fit() -> None:
    def spectrum(*values: str) -> bytes:
        return table(";".join(("21", "middle", *values)), header="Tooth;Zone;R400;R500;R600")

    assert "/spectra/0/unit" in asked(spectrum("2,1", "2,2", "2,3"))
    assert "/spectra/0/unit" in asked(spectrum("0,01", "0,02", "0,02"))
    for values, unit in ((("0,3", "0,4", "1,1"), "factor"), (("30,5", "40,1", "55,2"), "percent")):
        found = propose_mapping(spectrum(*values))
        assert found.mapping["spectra"][0]["unit"] == unit
    assert "/spectra/0/quantity" in asked(table("21;middle;0,3;0,4;0,5", header="Tooth;Zone;400;500;600"))


def test_notation_and_order_of_dates_are_stated_only_where_one_fits() -> None:
    def of(tooth: str, day: str) -> bytes:
        return table(f"{tooth};{day};74,1;1,9;16,2", header="Zahn;Datum;L*;a*;b*")

    both = asked(of("11", "04.03.2026"))
    assert {"/tooth_notation", "/columns/4/date_order"} <= both.keys()
    found = propose_mapping(of("36", "31.03.2026")).mapping
    assert found["tooth_notation"] == "iso-3950"
    assert found["columns"][4]["date_order"] == "day-month-year"
    assert propose_mapping(of("9", "2026-03-04")).mapping["tooth_notation"] == "universal"


def test_what_the_headers_say_of_light_and_observer_is_taken_and_nothing_else() -> None:
    header = "Tooth;Zone;L* (D65/10°);a* (D65/10°);b* (D65/10°);L* D50;a* D50;b* D50"
    found = propose_mapping(table("36;middle;74,1;1,9;16,2;73,1;1,8;17,2", header=header)).mapping
    assert found["colours"] == [
        {"name": "D65-10-degree", "illuminant": "D65", "observer": "10-degree"},
        {"name": "D50", "illuminant": "D50"},
    ]
    places = [each["place"] for each in found["proposal"]["questions"]]
    assert places[:3] == ["/colours/0/origin", "/colours/1/observer", "/colours/1/origin"]


def test_long_rows_are_recognised() -> None:
    rows = [
        f"36;{zone};{name};{value}" for zone in ZONES for name, value in (("L*", "74,1"), ("a*", "1"), ("b*", "16,25"))
    ]
    found = propose_mapping(table(*rows, header="Tooth;Zone;Coordinate;Value")).mapping
    assert found["long_rows"] == {
        "name_column": {"column": "Coordinate"},
        "value_column": {"column": "Value"},
        "headers": ["L*", "a*", "b*"],
    }
    data = table(*rows, header="Tooth;Zone;Coordinate;Value")
    made = answered(found, **COLOUR, **{"specimen.kind": "tooth"})
    assert len(read(data, made)[0][0]["readings"]) == 3
    waves = [f"36;{zone};{wave};0,{wave}1" for zone in ZONES for wave in (400, 500, 600, 700)]
    spectra = propose_mapping(table(*waves, header="Tooth;Zone;Wellenlänge;Wert")).mapping["spectra"]
    assert [each["wavelength_nm"] for each in spectra[0]["bands"]] == [400, 500, 600, 700]


def test_zones_named_above_the_headers_and_repeats_side_by_side_are_groups() -> None:
    block = ";L*;a*;b*" * 2
    data = b";cervical;;;middle;;\nTooth" + block.encode() + b"\n36;70,1;1,5;20,5;74,5;1,5;16,5\n"
    made = answered(propose_mapping(data).mapping, **COLOUR, **{"specimen.kind": "tooth"})
    assert [(each["zone"], each["colours"][0]["lab"]["L"]) for each in read(data, made)[0][0]["readings"]] == [
        ("cervical", 70.1),
        ("middle", 74.5),
    ]
    data = table("36;middle;70,1;1,5;20,5;74,5;1,5;16,5", header="Tooth;Zone;L1;a1;b1;L2;a2;b2")
    made = answered(propose_mapping(data).mapping, **COLOUR, **{"specimen.kind": "tooth"})
    assert [each["colours"][0]["lab"]["L"] for each in read(data, made)[0][0]["readings"]] == [70.1, 74.5]


def test_cells_that_may_name_a_person_are_not_shown() -> None:
    data = table("Moth Wren;36;middle;74,1;1,9;16,2;call Moth", header="Patient;Tooth;Zone;L*;a*;b*;Note")
    found = propose_mapping(data)
    assert "Moth" not in json.dumps(found.mapping)
    assert any("persons" in each["question"] for each in found.questions)


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"one\ntwo\n", b"a;b\n", b"\0\0\0", b";;\n;;\n"])
def test_what_is_no_table_is_refused(data: bytes) -> None:
    with pytest.raises(Refused) as caught:
        propose_mapping(data)
    assert caught.value.where


@given(st.binary(max_size=300) | st.text("ab;,\t\n\"'.0123 L*", max_size=200).map(str.encode))
def test_no_bytes_bring_a_traceback(data: bytes) -> None:
    with contextlib.suppress(Refused):
        TableMapping.model_validate(propose_mapping(data).mapping)


def test_what_labels_above_the_table_say_is_proposed() -> None:
    above = "Lichtart:;D65;;;\nBeobachter:;10°;;;\nDatum:;2026-03-04;;;\n".encode()
    data = above + table("36;mittig;74,1;1,9;16,2", header="Zahn;Zone;L*;a*;b*")
    found = propose_mapping(data).mapping
    assert [each["member"] for each in found["labelled"]] == [
        "reading.colour.illuminant",
        "reading.colour.observer",
        "reading.at",
    ]
    made = answered(found, origin="copied", **{"specimen.kind": "tooth"})
    [case], loss, _ = read(data, made)
    assert (case["readings"][0]["at"], case["readings"][0]["colours"][0]["observer"]) == ("2026-03-04", "10-degree")
    assert loss["lossless"]
