"""Exports that LibreOffice Calc 7.4 wrote (scripts/make_dialect_tables.py): read as the invented readings say, or
refused. What is expected stands beside each file and was made from the readings, never from the file."""

import json
from pathlib import Path
from typing import Any

import pytest
from table_mappings import Value, read

from shadefmt.errors import Refused

DATA = Path(__file__).resolve().parent / "table"
NAMES = sorted(path.name.removesuffix(".csv") for path in DATA.glob("*.csv"))


def beside(name: str, kind: str) -> Value:
    value: Value = json.loads((DATA / f"{name}.{kind}.json").read_text(encoding="utf-8"))
    return value


def told(case: Value, reading: Value, like: Value) -> Value:
    """Return of a reading what its expectation says something of."""
    teeth = {each["id"]: each["tooth"] for each in case["specimens"]}
    [colour] = reading["colours"]
    found: dict[str, Any] = {
        "tooth": teeth[reading["specimen_id"]],
        "zone": reading["zone"],
        "lab": [colour["lab"][letter] for letter in "Lab"],
        "decimals": colour["decimals"],
        "note": reading.get("note"),
        "at": reading.get("at"),
        "minutes": reading.get("minutes_since_isolation"),
        "factors": reading["spectrum"]["values"] if "spectrum" in reading else None,
    }
    assert {name for name, value in found.items() if value is not None} == like.keys()
    return {name: found[name] for name in like}


def test_there_is_an_expectation_and_a_mapping_for_every_export() -> None:
    assert len(NAMES) >= 8
    assert {path.name for path in DATA.glob("*.json")} == {
        f"{name}.{kind}.json" for name in NAMES for kind in ("shade", "expected")
    }


@pytest.mark.parametrize("name", NAMES)
def test_an_export_is_read_as_the_readings_say_or_refused(name: str) -> None:
    data, by, expected = (DATA / f"{name}.csv").read_bytes(), beside(name, "shade"), beside(name, "expected")
    if "refused" in expected:
        with pytest.raises(Refused) as caught:
            read(data, by)
        assert caught.value.where == expected["refused"]["where"]
        assert expected["refused"]["what"] in caught.value.what
        assert expected["refused"]["remedy"] in caught.value.remedy
        return
    [case], loss, result = read(data, by)
    like = expected["readings"]
    assert len(case["readings"]) == len(like)
    assert [told(case, reading, each) for reading, each in zip(case["readings"], like, strict=True)] == like
    assert sorted({each["code"] for each in loss["items"] if "code" in each}) == expected["losses"]
    assert sorted(notice.code for notice in result.notices) == expected["notices"]
