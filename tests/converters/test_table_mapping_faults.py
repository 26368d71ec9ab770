"""Faulty mappings are wrong use, said before any row is read; every closed word resolves to a member of the models."""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest
from table_mappings import COLOUR, KIND, LAB, TOOTH, ZONE, Value, mapping, one, read, table

from shadefmt.converters.table import read_table
from shadefmt.converters.table.members import BLOCKS, member_of
from shadefmt.errors import Refused, ShadefmtError, WrongUse
from shadefmt.model.schema import schema_of
from shadefmt.model.table_mapping import TableMapping
from shadefmt.vocabulary import TableMember

DATA = table("21;middle;74;1;16;x;y", header="Tooth;Zone;L*;a*;b*;P;Q")
SPECTRUM = {"quantity": "reflectance-factor", "unit": "factor", "header_prefix": "R"}
TIME = {"member": "reading.at", "time_part": "time"}
DATE = {"member": "reading.at", "time_part": "date"}
BANDS = [{"column_number": 6, "wavelength_nm": 400}, {"column_number": 7, "wavelength_nm": 410}]
GROUPED = [TOOTH, ZONE, *({**each, "group": "p"} for each in LAB)]
EXAMPLE = Path(__file__).resolve().parents[2] / "schema" / "1.0" / "examples" / "chairside-table.shade.json"


def column(text: str, member: str, **members: Any) -> Value:
    return {"column": text, "member": member, **members}


def vocabulary(text: str, value: str) -> list[Value]:
    return [{"text": text, "value": value}]


FAULTS: dict[str, tuple[Value, str]] = {
    "another kind": (mapping(kind="case"), "kind"),
    "another version": (mapping(version="9.9"), "version"),
    "an unknown member": (mapping(columns_=[]), "columns_"),
    "an unknown word": (mapping(column("P", "reading.shade")), "member"),
    "an unknown delimiter": (
        mapping(dialect={"encoding": "utf-8", "delimiter": "colon", "quote": "double", "decimal_mark": "comma"}),
        "delimiter",
    ),
    "nothing at all": ({}, "format"),
    "an extension that is not known": (mapping(extensions_required=["example.own"]), "extensions"),
    "a column without name and number": (mapping({"member": "reading.note"}), "column_number"),
    "a tooth column without notation": (mapping(tooth_notation=None), "tooth_notation"),
    "no kind of specimen": (mapping(constants=None), "specimen.kind"),
    "no zone": (mapping(columns=[TOOTH, *LAB]), "reading.zone"),
    "no measurement": (mapping(columns=[TOOTH, ZONE], colours=None), "no colour and no spectrum"),
    "two of three coordinates": (mapping(columns=[TOOTH, ZONE, *LAB[:2]]), "give all"),
    "no illuminant": (mapping(colours=[{"observer": "2-degree", "origin": "typed"}]), "illuminant"),
    "no colour stated": (mapping(colours=None), "illuminant"),
    "a colour without columns": (
        mapping(columns=[TOOTH, ZONE], spectra=[{"quantity": "reflectance-factor", "unit": "factor", "bands": BANDS}]),
        "no coordinates",
    ),
    "colours without names": (mapping(colours=[COLOUR, {**COLOUR, "illuminant": "A"}]), "name"),
    "two colours of one basis": (mapping(colours=[{"name": "p", **COLOUR}, {"name": "q", **COLOUR}]), "the same"),
    "a colour that is not there": (
        mapping(columns=[TOOTH, ZONE, *({**each, "colour": "p"} for each in LAB)]),
        "no colour p",
    ),
    "a column that belongs to one of several colours": (
        mapping(colours=[{"name": "p", **COLOUR}, {"name": "q", **COLOUR, "illuminant": "A"}]),
        "state the colour",
    ),
    "a colour where none belongs": (mapping(column("P", "reading.note", colour="p")), "belongs to none"),
    "one coordinate twice": (mapping(column("P", "reading.colour.lab.L")), "twice"),
    "one member twice": (mapping(column("P", "reading.note"), column("Q", "reading.note")), "2 columns"),
    "a time without a date": (mapping(column("P", **TIME)), "date"),
    "two times": (mapping(column("P", **TIME), column("Q", **TIME)), "date"),
    "a part of no time": (mapping(column("P", "reading.note", time_part="date")), "no time"),
    "an order of no date": (mapping(column("P", "reading.note", date_order="day-month-year")), "no time"),
    "a vocabulary for numbers": (mapping(column("P", "reading.order", vocabulary=vocabulary("x", "1"))), "takes none"),
    "a vocabulary for a part": (mapping(column("P", vocabulary=vocabulary("x", "2026-01-01"), **DATE)), "takes none"),
    "a word that the member does not have": (
        mapping(column("P", "reading.backing", vocabulary=vocabulary("x", "purple"))),
        "cannot have",
    ),
    "a text with two meanings": (
        mapping(column("P", "reading.backing", vocabulary=[*vocabulary("x", "black"), *vocabulary(" x", "white")])),
        "two meanings",
    ),
    "a text that is a blank word": (
        mapping(column("P", "reading.backing", vocabulary=vocabulary("x", "black")), blank_words=["x"]),
        "blank words",
    ),
    "a unit where there is none": (mapping(column("P", "reading.note", unit="mm")), "it has none"),
    "a unit of another measure": (
        mapping(
            column("P", "instrument.aperture_mm", unit="min"),
            constants=[KIND, {"member": "instrument.kind", "value": "camera"}],
        ),
        "units are",
    ),
    "coordinates in two units": (
        mapping(
            column("P", "reading.colour.xyz.X", unit="factor"),
            column("Q", "reading.colour.xyz.Y"),
            column("L*", "reading.colour.xyz.Z"),
        ),
        "different units",
    ),
    "one mark for decimals and thousands": (
        mapping(dialect={**mapping()["dialect"], "thousands_mark": "comma"}),
        "the same",
    ),
    "a constant that the member cannot have": (
        mapping(constants=[KIND, {"member": "reading.order", "value": "0"}]),
        "reading.order",
    ),
    "a constant in another notation": (mapping(constants=[KIND, {"member": "specimen.tooth", "value": "9"}]), "tooth"),
    "a constant twice": (mapping(constants=[KIND, KIND]), "two constants"),
    "a constant of a colour": (
        mapping(constants=[KIND, {"member": "reading.colour.illuminant", "value": "A"}]),
        "under colours",
    ),
    "an instrument without kind": (mapping(column("P", "instrument.model")), "instrument.kind"),
    "a calibration without result": (mapping(column("P", "session.calibration.at")), "session.calibration.result"),
    "a party without role": (mapping(constants=[KIND, {"member": "party.code", "value": "x"}]), "party.role"),
    "a group that is not there": (mapping(column("P", "reading.note", group="p")), "no group p"),
    "a spectrum of a group that is not there": (mapping(spectra=[{**SPECTRUM, "group": "p"}]), "no group p"),
    "two groups of one name": (mapping(columns=GROUPED, groups=[{"name": "p"}, {"name": "p"}]), "same name"),
    "a coordinate of no group": (mapping(groups=[{"name": "p"}]), "state the group"),
    "a spectrum of no group": (
        mapping(columns=[TOOTH, ZONE], groups=[{"name": "p"}], spectra=[SPECTRUM]),
        "state the group",
    ),
    "a group without measurement": (
        mapping(columns=GROUPED, groups=[{"name": "p"}, {"name": "q"}]),
        "for the group q",
    ),
    "two spectra": (mapping(spectra=[SPECTRUM, {**SPECTRUM, "header_prefix": "S"}]), "two spectra"),
    "bands and a pattern": (
        mapping(spectra=[{**SPECTRUM, "bands": BANDS}]),
        "give one",
    ),
    "a pattern without headers": (
        mapping(
            layout=None,
            columns=[{"column_number": 1, "member": "specimen.tooth"}, {"column_number": 2, "member": "reading.zone"}],
            colours=None,
            spectra=[SPECTRUM],
        ),
        "header_line",
    ),
    "a header where there are none": (mapping(layout=None), "column_number"),
    "rows above the headers": (mapping(layout={"header_line": 2, "first_row_line": 2}), "below header_line"),
    "a column used and ignored": (mapping(ignored=[{"column": "Tooth", "reason": "x"}]), "ignored"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_faulty_mapping_is_wrong_use(name: str) -> None:
    by, words = FAULTS[name]
    with pytest.raises(WrongUse) as caught:
        read_table(DATA, by)
    assert words in str(caught.value)


@pytest.mark.parametrize("value", [None, [], "x", 1, {"format": None}])
def test_what_is_no_mapping_at_all_is_wrong_use(value: Any) -> None:
    with pytest.raises(WrongUse):
        read_table(DATA, value)


@pytest.mark.parametrize(
    "by",
    [
        mapping(column("R", "reading.note")),
        mapping({"column_number": 8, "member": "reading.note"}),
        mapping(case_key=[{"column": "R"}]),
        mapping(specimen_key=[{"column_number": 9}]),
        mapping(columns=[TOOTH, ZONE], colours=None, spectra=[SPECTRUM]),
        mapping(layout={"header_line": 9}),
        mapping(layout={"header_line": 2}),
    ],
)
def test_a_table_without_the_columns_of_the_mapping_is_refused(by: Value) -> None:
    with pytest.raises(Refused) as caught:
        read_table(DATA, by)
    assert caught.value.where.startswith("line ")
    assert caught.value.remedy


def test_wavelengths_that_stand_twice_are_refused() -> None:
    by = mapping(columns=[TOOTH, ZONE], colours=None, spectra=[{**SPECTRUM, "header_suffix": "nm"}])
    with pytest.raises(Refused, match="same wavelength"):
        read_table(table("21;middle;1;1", header="Tooth;Zone;R400nm;R 400 nm"), by)


@pytest.mark.parametrize("path", get_args(TableMember))
def test_every_closed_word_is_a_member_of_the_models(path: TableMember) -> None:
    member = member_of(path)
    assert member.target.startswith("/")
    assert member.names == tuple(path.split("."))[1:]


def test_every_member_of_the_models_that_a_cell_can_hold_is_a_closed_word() -> None:
    """What is missing: ids and references, blocks, and what the newest models hold that tables do not yet."""
    words = {path.rpartition(".")[0] for path in get_args(TableMember)}
    assert words == set(BLOCKS)
    plain = {
        f"{path}.{name}"
        for path, block in BLOCKS.items()
        for name in block.model_fields
        if name != "id" and not name.endswith(("_id", "_ids"))
    }
    blocks = {"session.calibration", "session.light", "reading.spectrum", "reading.colours", "reading.visual"}
    computed = {"reading.colour.decimals", "reading.colour.lab", "reading.colour.xyz"}
    later = {"specimen.area", "session.colour_vision_checked", "session.grey_reference"}
    assert plain - blocks - computed - later == set(get_args(TableMember))


def words_of(shape: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return the paths of every value inside a document."""
    items: list[tuple[str | int, Any]] = []
    if isinstance(shape, dict):
        items = list(shape.items())
    elif isinstance(shape, list):
        items = list(enumerate(shape))
    found: list[tuple[str | int, ...]] = []
    for step, value in items:
        found += [(*path, step), *words_of(value, (*path, step))]
    return found


def without(by: Value, path: tuple[str | int, ...]) -> Value:
    made: Any = copy.deepcopy(by)
    place = made
    for step in path[:-1]:
        place = place[step]
    del place[path[-1]]
    return made  # type: ignore[no-any-return]


def replaced(by: Value, path: tuple[str | int, ...], value: Any) -> Value:
    made: Any = copy.deepcopy(by)
    place = made
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return made  # type: ignore[no-any-return]


DAMAGES: list[Callable[[Value, tuple[str | int, ...]], Value]] = [
    without,
    *(lambda by, path, value=value: replaced(by, path, value) for value in (None, "", "x", 0, -1, 1.5, [], {}, True)),
]


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_mapping_is_read_or_wrong_use_or_does_not_fit_never_anything_else(
    damage: Callable[[Value, tuple[str | int, ...]], Value],
) -> None:
    """Every member of the example mapping left out or replaced; the models and the JSON Schema agree on each."""
    by = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    data = EXAMPLE.with_name("chairside-table.csv").read_bytes()
    data = b"".join(data.splitlines(keepends=True)[:5])
    schema = jsonschema.Draft202012Validator(schema_of("table-mapping"))
    for path in words_of(by):
        value = damage(by, path)
        try:
            list(read_table(data, value).cases)
        except WrongUse:
            continue
        except ShadefmtError:
            pass
        assert schema.is_valid(value), path
        TableMapping.model_validate(value)


def test_the_example_mapping_is_valid_and_round_trips() -> None:
    by = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema_of("table-mapping")).validate(by)
    assert TableMapping.model_validate(by).to_value() == by


def test_required_columns_colours_and_spectra() -> None:
    note = column("P", "reading.note", required=True)
    header = "Tooth;Zone;L*;a*;b*;P"
    assert one(table("21;middle;74;1;16;x", header=header), mapping(note))["readings"][0]["note"] == "x"
    with pytest.raises(Refused, match="line 2, column 'P'"):
        read(table("21;middle;74;1;16; ", header=header), mapping(note))
    with pytest.raises(Refused, match="line 2, column 'Tooth'"):
        read(table(";middle;74;1;16"), mapping(columns=[{**TOOTH, "required": True}, ZONE, *LAB]))
    for by in (
        mapping(colours=[{**COLOUR, "required": True}]),
        mapping(columns=[TOOTH, ZONE, LAB[0], {**LAB[1], "required": True}, LAB[2]]),
    ):
        with pytest.raises(Refused, match="line 2, column 'L"):
            read(table("21;middle;;;"), by)
    by = mapping(spectra=[{**SPECTRUM, "required": True}])
    with pytest.raises(Refused, match="line 2, column 'R400'"):
        read(table("21;middle;74;1;16;;", header="Tooth;Zone;L*;a*;b*;R400;R410"), by)
