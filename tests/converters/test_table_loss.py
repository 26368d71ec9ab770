"""The account of a conversion: every cell that holds something is counted once, whatever the table looks like."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st
from table_mappings import COLOUR, KIND, Value, mapping, read, table

CELLS: dict[str, list[str]] = {
    "Case": ["p", "q"],
    "Tooth": ["8", "9", "A", ""],
    "Note": ["x", " ", ""],
    "Model": ["Heron", ""],
    "Wet": ["moist", "w", ""],
    "At": ["2026-03-04", "2026-03-04 09:12", ""],
    "Light": ["A", "day", ""],
    "Left over": ["z", "", "  "],
    "Left out": ["z", ""],
}
ZONES = ("neck", "body")
TRIPLES = [("", "", ""), ("74", "1", "16"), ("74,123", "-1,5", "16,25")]
DAY = [{"text": "day", "value": "D65"}]


def column(text: str, member: str, **members: object) -> Value:
    return {"column": text, "member": member, **members}


PLAIN = [
    column("Tooth", "specimen.tooth"),
    column("Note", "reading.note"),
    column("Model", "instrument.model"),
    column("Wet", "reading.hydration", vocabulary=[{"text": "w", "value": "dry"}]),
    column("At", "reading.at"),
    column("At", "session.started"),
    column("Light", "reading.colour.illuminant", vocabulary=DAY),
]
CONSTANTS = [
    KIND,
    {"member": "instrument.kind", "value": "spectrophotometer"},
    {"member": "reading.hydration", "value": "unknown"},
]


def by_of(*, wide: bool) -> Value:
    coordinates = [
        column(f"{zone} {letter}", f"reading.colour.lab.{letter}", **({"group": zone} if wide else {}))
        for zone in (ZONES if wide else ZONES[:1])
        for letter in "Lab"
    ]
    zones = dict(zip(ZONES, ("cervical", "middle"), strict=True))
    return mapping(
        columns=[*PLAIN, *coordinates],
        tooth_notation="universal",
        case_key=[{"column": "Case"}],
        colours=[{**COLOUR, "decimals": 2}],
        constants=[*CONSTANTS, *([] if wide else [{"member": "reading.zone", "value": "middle"}])],
        groups=[
            {"name": name, "constants": [{"member": "reading.zone", "value": zone}]} for name, zone in zones.items()
        ]
        if wide
        else None,
        ignored=[{"column": "Left out", "reason": "of no use"}],
    )


lines = st.tuples(*map(st.sampled_from, CELLS.values()), *(st.sampled_from(TRIPLES) for _ in ZONES))


@given(st.lists(lines, min_size=1, max_size=8), st.booleans(), st.booleans())
def test_every_cell_is_counted_once(rows: list[tuple[object, ...]], wide: bool, full: bool) -> None:
    rows = sorted(rows, key=lambda row: str(row[0]))
    if wide and any(
        all(row[0] != case or not any(map("".join, row[-2:])) for row in rows) for case in {r[0] for r in rows}
    ):
        return  # a case in which nothing was measured is refused
    flat = [[*map(str, row[:-2]), *row[-2], *row[-1]] for row in rows]  # type: ignore[misc]
    header = [*CELLS, *(f"{zone} {letter}" for zone in ZONES for letter in "Lab")]
    _, loss, _ = read(table(*map(";".join, flat), header=";".join(header)), by_of(wide=wide), full=full)
    mapped = Counter(each["column"] for each in by_of(wide=wide)["columns"])
    counts: Counter[str] = Counter()
    defaulted: Counter[str] = Counter()
    for each in loss["items"]:
        name = each["path"].removeprefix("column '").removesuffix("'")
        (defaulted if each["fate"] == "defaulted" else counts)[name] += each["count"]
        if "instances" in each:
            assert len(each["instances"]) == (each["count"] if full else min(each["count"], len(each["instances"])))
    for index, name in enumerate(header):
        filled = sum(bool(row[index].strip()) for row in flat)
        assert counts[name] == filled * max(1, mapped[name]), name
    measured = [row for row in flat if any(row[9:12]) or (wide and any(row[12:]))]
    assert defaulted["Wet"] == sum(not row[4] for row in measured)
    assert defaulted["Light"] == sum(not row[6] for row in measured)
    assert loss["readings"] == sum(bool(row[9]) + (wide and bool(row[12])) for row in flat)
