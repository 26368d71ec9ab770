"""The conformance suite run with this package, and the suite itself looked at."""

import json
import re
import subprocess
import sys
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import jsonschema_rs
import pytest
from conformance_support import (
    CONFORMANCE,
    EXIT,
    FUNCTIONS,
    RUNNERS,
    Answer,
    Case,
    base,
    cases,
    compared,
    document,
    manifest,
    run,
    run_structure,
)

from shadefmt.checking import check
from shadefmt.model.kinds import EXCHANGED_KINDS

SCHEMA = CONFORMANCE.parent / "schema"
CHECKING = list(cases("checking"))
STRUCTURE = list(cases("structure"))
VECTORS = list(cases(*RUNNERS))

WITHOUT_CASE = {"structure-unsound"}
"""Codes that no document of this version leads to: whatever the JSON Schemas demand has a code of its own."""


@pytest.mark.parametrize("case", CHECKING, ids=[each.id for each in CHECKING])
def test_document(case: Case) -> None:
    assert run(case) is None


@pytest.mark.parametrize("case", VECTORS, ids=[each.id for each in VECTORS])
def test_vector(case: Case) -> None:
    assert RUNNERS[case.kind](case) is None


@pytest.mark.parametrize("path", sorted({each.path for each in STRUCTURE}))
def test_members(path: str) -> None:
    faults = {each.id: run_structure(each) for each in STRUCTURE if each.path == path}
    assert {name: fault for name, fault in faults.items() if fault is not None} == {}


@cache
def _rules() -> dict[str, dict[str, Any]]:
    catalogue = json.loads((SCHEMA / "rules.json").read_text("utf-8"))
    return {each["code"]: each for each in catalogue["rules"]}


@cache
def _sections() -> frozenset[str]:
    text = (SCHEMA / "1.0" / "README.md").read_text("utf-8")
    return frozenset(re.findall(r"^#{2,3} ([0-9]+(?:\.[0-9]+)?) ", text, re.MULTILINE))


def test_every_file_is_listed_and_the_manifest_is_fresh() -> None:
    script = CONFORMANCE / "make_manifest.py"
    done = subprocess.run([sys.executable, script, "--check"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_totals_of_the_manifest_count_the_cases() -> None:
    counted = Counter(each.kind for each in cases())
    assert counted == manifest()["totals"]
    assert counted["checking"] > 900


@pytest.mark.parametrize("generator", ["generate_bases.py", "generate_members.py"])
def test_documents_are_what_the_generators_make(generator: str) -> None:
    command = [sys.executable, "-W", "ignore", CONFORMANCE / generator, "--check"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("path", sorted((CONFORMANCE / "bases").glob("*.json")), ids=lambda path: path.stem)
def test_nothing_is_found_in_a_base(path: Path) -> None:
    report = check(path.read_bytes(), as_of="2026-05-01T00:00:00Z")
    assert report.findings is None
    assert report.outcome == "valid"


@pytest.mark.parametrize("kind", sorted(manifest()["totals"]))
def test_files_fit_their_schema(kind: str) -> None:
    schema = json.loads((CONFORMANCE / "case.schema.json").read_text("utf-8"))
    schema["$ref"] = f"#/$defs/{kind}"
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema_rs.Draft202012Validator(schema)
    for file in manifest()["files"]:
        if file["kind"] == kind:
            found = validator.iter_errors(json.loads((CONFORMANCE / file["path"]).read_text("utf-8")))
            assert [f"{file['path']}: {each.message}" for each in found] == []


def test_ids_are_unique() -> None:
    assert [name for name, count in Counter(each.id for each in cases()).items() if count > 1] == []


def test_descriptions_say_the_condition() -> None:
    by_file: dict[str, list[str]] = defaultdict(list)
    for case in cases():
        if "description" in case.content:
            by_file[case.path].append(case.content["description"])
    for path, texts in by_file.items():
        assert len(set(texts)) == len(texts), path
        for text in texts:
            assert len(text) < 100, text
            assert not re.search(r"\bshould\b|\btest(s|ed)? that\b|[.!]$", text), text


def test_cases_cite_sections_that_exist() -> None:
    assert {each.content["section"] for each in CHECKING} <= {each["section"] for each in _rules().values()}
    assert {each.content["section"] for each in STRUCTURE + VECTORS} <= _sections()


def test_sections_are_those_of_the_code_that_a_file_is_about() -> None:
    for case in CHECKING:
        assert case.content["section"] == _rules()[Path(case.path).stem]["section"], case.id


@pytest.mark.parametrize("code", sorted(_rules()))
def test_every_code_is_hit_and_narrowly_missed(code: str) -> None:
    rule = _rules()[code]
    path = f"{rule['stage']}/{code}.json"
    own = [case for case in CHECKING if case.path == path]
    if code in WITHOUT_CASE or rule["stage"] == "intake":  # intake needs a profile, which no case gives yet
        assert own == []
        return
    hits = [case for case in own if code in {finding[0] for finding in case.content["expect"]["findings"]}]
    assert hits, f"no case hits {code}"
    assert len(hits) < len(own), f"no case misses {code} narrowly"


def test_codes_of_findings_are_in_the_catalogue() -> None:
    assert {finding[0] for case in CHECKING for finding in case.content["expect"]["findings"]} <= set(_rules())


def test_outcomes_follow_from_the_severities() -> None:
    for case in CHECKING:
        expected = case.content["expect"]
        errors = any(_rules()[finding[0]]["severity"] == "error" for finding in expected["findings"])
        partly = expected.get("partly_checked", False)
        assert expected["outcome"] == ("invalid" if errors else "incomplete" if partly else "valid"), case.id
        assert expected["exit"] == EXIT[expected["outcome"]], case.id


def test_functions_of_the_vectors_are_known_and_used() -> None:
    assert {each.content["function"] for each in cases("computation")} == set(FUNCTIONS)


@cache
def _validator(kind: str) -> Any:
    schema = json.loads((SCHEMA / "1.0" / f"{kind}.schema.json").read_text("utf-8"))
    return jsonschema_rs.Draft202012Validator(schema)


def test_the_schemas_alone_agree_on_structure() -> None:
    looked_at = 0
    for case in CHECKING + STRUCTURE:
        codes = [finding[0] for finding in case.content["expect"]["findings"]]
        if "pad_to_bytes" in case.content or any(code.split("-")[0] in ("syntax", "version") for code in codes):
            continue
        value = json.loads(document(case.content))
        looked_at += 1
        sound = not any(code.startswith("structure-") for code in codes)
        assert _validator(value["kind"]).is_valid(value) == sound, case.id
    assert looked_at > 1800


FAKES: dict[str, Any] = {
    "always valid": lambda case: Answer("valid", False, []),
    "always invalid": lambda case: Answer("invalid", False, [("structure-unsound", "")]),
    "right outcome without findings": lambda case: Answer(case["expect"]["outcome"], False, []),
    "wrong place": lambda case: _moved(case["expect"]),
    "right codes, each once": lambda case: _once(case["expect"]),
}
"""Answers of implementations that are wrong, and in what."""


def _moved(expected: dict[str, Any]) -> Answer:
    places = [
        (finding[0], *("/nowhere" if isinstance(step, str) else step + 1 for step in finding[1:]))
        for finding in expected["findings"]
    ]
    return Answer(expected["outcome"], expected.get("partly_checked", False), places)


def _once(expected: dict[str, Any]) -> Answer:
    found = sorted({tuple(finding) for finding in expected["findings"]})
    return Answer(expected["outcome"], expected.get("partly_checked", False), found)


@pytest.mark.parametrize("name", FAKES)
def test_wrong_implementations_are_caught(name: str) -> None:
    caught = Counter(
        Path(each.path).stem for each in CHECKING if compared(each.content["expect"], FAKES[name](each.content))
    )
    asked = [code for code, rule in _rules().items() if code not in WITHOUT_CASE and rule["stage"] != "intake"]
    least = {"right codes, each once": 5}.get(name, len(asked))
    assert len(caught) >= least


def test_bases_are_of_every_kind_that_people_exchange() -> None:
    names = [path.name.split(".")[0] for path in (CONFORMANCE / "bases").glob("*.json")]
    assert {base(name)["kind"] for name in names} == set(EXCHANGED_KINDS)
