"""CxF3 files written by hand, each with what is to come of it in data/cxf/expectations.json."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from shadefmt.converters.cxf import read_cxf
from shadefmt.errors import Refused
from shadefmt.model.schema import schema_of

DATA = Path(__file__).resolve().parent / "data" / "cxf"
EXPECTED: dict[str, Any] = json.loads((DATA / "expectations.json").read_text(encoding="utf-8"))
CASE = Draft202012Validator(schema_of("case"))
USUAL = {"instrument-kind-assumed", "sitting-assumed", "specimen-kind-assumed", "zone-unknown"}
"""What every file says that tells nothing of teeth."""


@pytest.mark.parametrize("name", sorted(EXPECTED["files"]))
def test_a_file_is_read_as_stated_beside_it_or_refused(name: str) -> None:
    data, expected = (DATA / f"{name}.cxf").read_bytes(), EXPECTED["files"][name]
    if "refused" in expected:
        with pytest.raises(Refused, match=expected["refused"]) as caught:
            read_cxf(data)
        assert caught.value.where.startswith(expected["where"])
        assert caught.value.remedy
        return
    made = read_cxf(data)
    CASE.validate(made.case)
    [reading] = made.case["readings"]
    spectrum = reading["spectrum"]
    assert [spectrum["start_nm"], spectrum["step_nm"]] == expected["grid"]
    assert spectrum["values"] == expected.get("values", EXPECTED["values"])
    assert {each.code for each in made.notices} - {"texts-kept"} == set(expected.get("notices", ()))
    lost = {each["code"] for each in made.loss["items"] if "code" in each}
    assert lost - USUAL == set(expected.get("losses", ()))
