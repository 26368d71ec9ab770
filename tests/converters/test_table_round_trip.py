"""A case through a table and back is the case minus what the loss report lists, for mappings and forms of every kind.

The expectation is made of the original and the places that the loss report names; nothing of the converter takes
part in it.
"""

from copy import deepcopy
from typing import Any

from cgats_cases import Value, cases, some, without
from hypothesis import event, given
from hypothesis import strategies as st
from model_values import values_of
from table_mappings import mapping

from shadefmt.converters.table import read_table, write_table
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.case import Case
from shadefmt.model.loss_report import LossReport

ENTITIES = {"specimen": "specimens", "session": "sessions", "instrument": "instruments"}
MEMBERS = {
    "instrument": ["kind", "geometry", "specular", "aperture_mm", "bandpass_nm", "model"],
    "specimen": ["kind", "tooth", "restored", "note"],
    "session": ["barrier_fitted", "started"],
    "reading": [
        *("zone", "column", "region", "at", "order", "repositioned", "role", "state", "medium", "backing"),
        *("hydration", "isolation", "minutes_since_isolation", "note"),
    ],
}
WORDS = {
    "specimen.restored": [{"text": "+", "value": "true"}, {"text": "no", "value": "false"}],
    "reading.backing": [{"text": "noir", "value": "black"}, {"text": "black", "value": "white"}],
}
DEFAULTS = [
    {"member": "reading.hydration", "value": "unknown"},
    {"member": "instrument.kind", "value": "colorimeter"},
    {"member": "reading.repositioned", "value": "false"},
]
PREFIX = "reading.colour."
HELD = ("illuminant", "observer", "origin")
BASES = [
    {"illuminant": "D65", "observer": "2-degree", "origin": "instrument"},
    {"illuminant": "A", "observer": "10-degree", "origin": "computed"},
]


@st.composite
def dialects(draw: st.DrawFn) -> Value:
    mark = draw(st.sampled_from(["point", "comma"]))
    return {
        "encoding": draw(st.sampled_from(["utf-8", "utf-16", "windows-1252", "iso-8859-1"])),
        "delimiter": draw(
            st.sampled_from(["semicolon", "tab", "vertical-bar", *(["comma"] if mark == "point" else [])])
        ),
        "quote": draw(st.sampled_from(["double", "single", "none"])),
        "decimal_mark": mark,
        **draw(some({"blank_after_delimiter": st.booleans(), "formula_guard": st.just("apostrophe")})),
    }


@st.composite
def mappings(draw: st.DrawFn) -> Value:
    columns = []
    for entity, names in MEMBERS.items():
        needed = {"kind", "zone"}
        for name in names:
            path = f"{entity}.{name}"
            if name in needed or draw(st.booleans()):
                more: Value = {"vocabulary": WORDS[path]} if path in WORDS and draw(st.booleans()) else {}
                if name in ("at", "started"):
                    more |= draw(some({"date_order": st.sampled_from(["day-month-year", "month-day-year"])}))
                if name == "aperture_mm":
                    more["unit"] = draw(st.sampled_from(["mm", "cm", "um"]))
                columns.append({"column": path, "member": path, **more})
    named = draw(st.booleans())
    slots = BASES if named else [draw(some({"decimals": st.integers(0, 3)}))]
    for number, _ in enumerate(slots):
        own = {"colour": f"c{number}"} if named else {}
        for space, letters in (("lab", "Lab"), ("xyz", "XYZ")):
            unit = {"unit": draw(st.sampled_from(["percent", "factor"]))} if space == "xyz" else {}
            for letter in letters:
                path = f"{PREFIX}{space}.{letter}"
                columns.append({"column": f"{path} {number}", "member": path, **own, **unit})
        columns += [] if named else [{"column": each, "member": PREFIX + each} for each in HELD]
    pattern = {"quantity": "reflectance-factor", "header_prefix": "R "}
    scale = {"unit": draw(st.sampled_from(["factor", "percent"]))}
    keys = {f"{each}_key": [{"column": f"{each} id"}] for each in ENTITIES}
    layout = {
        "header_line": draw(st.integers(1, 3)),
        **draw(some({"end_word": st.just("END"), "ends_at_blank_row": st.just(True)})),
    }
    return mapping(
        columns=columns,
        dialect=draw(dialects()),
        layout=layout,
        tooth_notation=draw(st.sampled_from(["iso-3950", "universal", "palmer"])),
        constants=[each for each in DEFAULTS if draw(st.booleans())] or None,
        colours=[{"name": f"c{number}", **each} for number, each in enumerate(slots)]
        if named
        else slots
        if slots[0]
        else None,
        spectra=[{**pattern, **scale}] if draw(st.booleans()) else None,
        case_key=[{"column": "case id"}] if draw(st.booleans()) else None,
        **(keys if draw(st.booleans()) else {}),
    )


SURE = {
    "zone": "middle",
    "repositioned": False,
    "spectrum": {
        "quantity": "reflectance-factor",
        "start_nm": 400,
        "step_nm": 10,
        "decimals": 3,
        "values": [0.5, 0.625],
    },
    "colours": [{**BASES[0], "decimals": 2, "lab": {"L": 74.5, "a": -1.25, "b": 16}}],
}


@st.composite
def measured_cases(draw: st.DrawFn) -> Value:
    """Cases with one reading that every mapping of this module has columns for, as the first or the last."""
    case = draw(cases())
    sure = {"id": "sure", "specimen_id": case["specimens"][0]["id"], **deepcopy(SURE)}
    case["readings"].insert(draw(st.sampled_from([0, len(case["readings"])])), sure)
    return case


def items(loss: Value, fate: str) -> list[tuple[Value, Value]]:
    return [(item, each) for item in loss.get("items", ()) if item["fate"] == fate for each in item["instances"]]


def expected_case(case: Value, loss: Value) -> Value:
    """The case with numbers rounded as listed, and without what was dropped."""
    left = deepcopy(case)
    for _, each in items(loss, "rounded"):
        *above, last = each["where"][1:].split("/")
        holder: Any = left
        for part in above:
            holder = holder[int(part)] if isinstance(holder, list) else holder[part]
        if isinstance(holder[last], list):
            holder[last][[repr(value) for value in holder[last]].index(each["before"])] = float(each["after"])
        else:
            holder[last] = each["after"] if isinstance(holder[last], str) else float(each["after"])
    return without(left, [each["where"] for _, each in items(loss, "dropped")])


def facts(case: Value, links: Value) -> list[Value]:
    """What each reading of a case says, with what it refers to in place of references; ids aside."""
    found = []
    places = {root: {each["id"]: place for place, each in enumerate(links.get(root, ()))} for root in ENTITIES.values()}

    def entity(kind: str, name: str | None) -> Value:
        root = ENTITIES[kind]
        return {**(case[root][places[root][name]] or {}), "place": f"/{root}/{places[root][name]}"} if name else {}

    for number, reading in enumerate(case.get("readings", ())):
        if not reading:
            continue
        original = links["readings"][number]
        name = original.get("session_id")
        source = links["sessions"][places["sessions"][name]] if name else {}
        made = {
            "reading": {key: deepcopy(value) for key, value in reading.items() if not key.endswith("_id")},
            "specimen": entity("specimen", original["specimen_id"]),
            "session": entity("session", name),
            "instrument": entity("instrument", source.get("instrument_id")),
            "place": f"/readings/{number}",
        }
        colours = [each for each in made["reading"].pop("colours", ()) if each]
        made["colours"] = sorted((settled(each) for each in colours), key=repr)
        spectrum = made["reading"].pop("spectrum", None)
        made["spectrum"] = settled(spectrum) if spectrum else {}
        for kind in ("specimen", "session", "instrument", "reading"):
            hidden = ("id", "instrument_id", "party_id", "revision_id")
            made[kind] = {key: value for key, value in made[kind].items() if key not in hidden}
        found.append(made)
    return found


def settled(block: Value) -> Value:
    """Members in one order, a grid as its wavelengths."""
    start, step = block.get("start_nm"), block.get("step_nm")
    made = {key: value for key, value in sorted(block.items()) if key not in ("start_nm", "step_nm", "wavelengths_nm")}
    if "values" in block:
        waves = block.get("wavelengths_nm") or [start + place * step for place in range(len(block["values"]))]
        made["waves"] = [round(wave, 9) for wave in waves]
        made["values"] = [float(value) for value in block["values"]]
    for space in ("lab", "xyz"):
        if space in made:
            made[space] = {key: float(value) for key, value in made[space].items()}
    return made


def fill(expected: list[Value], loss: Value) -> None:
    """Add what the report says that the mapping filled in."""
    kinds = {root: kind for kind, root in ENTITIES.items()} | {"readings": "reading"}
    for item, each in items(loss, "defaulted"):
        _, root, _, name = item["path"].split("/")
        for made in expected:
            if each["where"] in (made["place"], made[kinds[root]].get("place")):
                value: Any = {"True": True, "False": False}.get(each["after"], each["after"])
                assert name not in made[kinds[root]]
                made[kinds[root]][name] = value


def compare(expected: list[Value], found: list[Value]) -> None:
    for made in (*expected, *found):
        made.pop("place")
        for kind in ENTITIES:
            made[kind].pop("place", None)
    for mine, there in zip(expected, found, strict=True):
        blocks = [(mine["spectrum"], there["spectrum"]), *zip(mine["colours"], there["colours"], strict=True)]
        for block, other in blocks:
            if "decimals" not in block:
                other.pop("decimals", None)
    assert found == expected


@given(measured_cases(), mappings(), st.sampled_from(["table", "table", "table", "xlsx", "ods"]))
def test_a_case_comes_back_but_for_what_the_report_lists(case: Value, by: Value, form: Any) -> None:
    try:
        made = write_table([case], by, form=form, full=True)
    except Refused:
        event("refused")
        return
    LossReport.model_validate(made.loss)
    result = read_table(made.data, by)
    [back] = result.cases
    Case.model_validate(back)
    assert not [
        each
        for each in result.notices
        if each.code
        not in ("table-row-repeated", "table-rows-contradict", "table-scale-doubtful", "table-decimals-mixed")
    ]
    expected = facts(expected_case(case, made.loss), case)
    fill(expected, made.loss)
    found = facts(back, back)
    partition = [one["specimen"]["place"] == two["specimen"]["place"] for one in expected for two in expected]
    if not [item for item in made.loss["items"] if item.get("code") in ("entries-not-told-apart", "entry-split")]:
        assert partition == [one["specimen"]["place"] == two["specimen"]["place"] for one in found for two in found]
    assert len(back["readings"]) == made.loss["readings"] == len(expected)
    compare(expected, found)


@given(measured_cases(), mappings())
def test_every_value_is_accounted_for_once(case: Value, by: Value) -> None:
    try:
        made = write_table([case], by, full=True)
    except Refused:
        return
    left = without(case, [each["where"] for _, each in items(made.loss, "dropped")])
    carried = sum(item["count"] for item in made.loss["items"] if item["fate"] in ("kept", "renamed", "converted"))
    cut = {
        (each["where"])
        for _, each in items(made.loss, "rounded")
        if "/spectrum/" not in each["where"] and "/colours/" not in each["where"]
    }
    whole = {(each["where"]) for _, each in items(made.loss, "rounded")} - cut
    assert carried + len(cut) + len(whole) == leaves(left)


def leaves(value: Any) -> int:
    """How many members hold a value; a list of numbers is one."""
    if isinstance(value, dict):
        return sum(map(leaves, value.values()))
    if isinstance(value, list) and (not value or any(isinstance(each, dict) or each is None for each in value)):
        return sum(map(leaves, value))
    return value is not None


@given(values_of(Case), mappings())
def test_any_case_that_fits_the_model_is_written_or_refused(case: Value, by: Value) -> None:
    try:
        made = write_table([case], by)
    except (Refused, WrongUse):
        return
    assert made == write_table([case], by)
    LossReport.model_validate(made.loss)
    assert sum(1 for _ in read_table(made.data, by).cases) == made.loss["documents"]


def test_numbers_that_the_dialect_cannot_hold_are_left_out_with_the_rest_of_their_colour() -> None:
    """A decimal comma between unquoted commas would be two cells; whole numbers still fit."""
    dialect = {"encoding": "utf-8", "delimiter": "comma", "quote": "none", "decimal_mark": "comma"}
    rows = "Tooth,Zone,L*,a*,b*\n11,middle,70,1,15\n12,middle,71,2,16\n"
    by = mapping(dialect=dialect)
    case = deepcopy(next(iter(read_table(rows.encode(), by).cases)))
    case["readings"][0]["colours"][0].update(decimals=1, lab={"L": 70.5, "a": 1.0, "b": 15.0})
    made = write_table([case], by)
    back = next(iter(read_table(made.data, by).cases))
    assert [each["colours"][0]["lab"]["L"] for each in back["readings"] if "colours" in each] == [71]
    assert any(item["path"].startswith("/readings/*") for item in made.loss["items"])
