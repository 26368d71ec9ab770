"""Whatever a file holds, every command ends with a code of the table and one line, never with a traceback."""

import json
import random
from pathlib import Path
from typing import Any

import pytest
from bases import PATHS, base, written
from edited_cases import edited_cases
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from model_values import values_of

from shadefmt.cli.main import main
from shadefmt.model.case import Case

READERS = (
    ("check", "{}"),
    ("check", "{}", "-v", "--as-of", "2026-05-01"),
    ("check", "{}", "--previous", "{}"),
    ("check", "{}", "--with", "{}"),
    ("show", "{}"),
    ("show", "{}", "--html", "-"),
    ("derive", "{}"),
    ("derive", "{}", "--illuminant", "A", "--decimals", "0"),
    ("merge", "{}", "{}"),
    ("amend", "{}", "{}", "--revision", "x", "--at", "2026-05-01"),
    ("convert", "{}", "-"),
    ("convert", "{}", "-", "--mapping", "{}"),
    ("convert", "{}", "-", "--to", "cgats"),
    ("convert", "{}", "-", "--strict", "--lines"),
    ("roundtrip", "{}", "--via", "cgats"),
    ("roundtrip", "{}", "--via", "cgats", "--lines", "--format", "json"),
    ("derive", "{}", "--lines"),
    ("compare", "--pairs", "{}"),
    ("compare", "--case", "{}", "one", "two"),
)
"""Every command that reads a file, the file standing where the braces are."""

LOOSE = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


def run_all(path: Path, data: bytes, capsys: pytest.CaptureFixture[str]) -> None:
    """Run every reader on a file; nothing else may be there afterwards."""
    path.write_bytes(data)
    for words in READERS:
        arguments = [word.replace("{}", str(path)) for word in words]
        try:
            code = main(arguments)
        except SystemExit as leaving:
            code = int(leaving.code or 0)
        said = capsys.readouterr().err
        assert code in (0, 1, 2, 3), arguments
        assert code == 0 or code == 1 or said.strip(), arguments
    assert [each.name for each in path.parent.iterdir()] == [path.name]
    assert path.read_bytes() == data


@settings(max_examples=20, suppress_health_check=LOOSE)
@given(st.binary(max_size=200))
def test_any_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str], data: bytes) -> None:
    run_all(tmp_path / "any.shade.json", data, capsys)


@settings(max_examples=15, suppress_health_check=LOOSE)
@given(values_of(Case))
def test_any_case_that_fits(tmp_path: Path, capsys: pytest.CaptureFixture[str], value: dict[str, Any]) -> None:
    run_all(tmp_path / "any.shade.json", json.dumps(value).encode(), capsys)


@settings(max_examples=15, suppress_health_check=LOOSE)
@given(edited_cases())
def test_any_edited_case(tmp_path: Path, capsys: pytest.CaptureFixture[str], value: dict[str, Any]) -> None:
    run_all(tmp_path / "any.shade.json", written(value), capsys)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{}",
        b"null",
        b"[]",
        b'"text"',
        b"\xff\xfe{\x00}\x00",
        b"PK\x03\x04",
        b"PK\x05\x06" + b"\0" * 18,
        b"\x1f\x8b\x08\x00",
        b"\x28\xb5\x2f\xfd\x00",
        b"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>",
        b"<a",
        b"a;b;c\n1;2;3\n",
        b"CGATS.17\nNUMBER_OF_FIELDS 1\n",
        b"[" * 100_000,
        b'{"format": "shadefmt", "version": "1.0", "kind": "case"}',
        b'{"format": "shadefmt", "version": "1.9", "kind": "case", "id": "urn:a:b"}',
        b'{"format": "shadefmt", "version": "1.0", "kind": "report"}',
        b'{"format": "shadefmt", "version": "1.0", "kind": "table-mapping", "columns": [1]}',
        b'{"readings": [1], "revisions": {"a": []}, "id": "x"}',
        b'{"specimens": [{"id": "a"}, {"id": "a"}], "unheard": [{"id": "b"}]}',
    ],
    ids=lambda data: repr(data[:40]),
)
def test_files_of_every_sort(tmp_path: Path, capsys: pytest.CaptureFixture[str], data: bytes) -> None:
    run_all(tmp_path / "any.shade.json", data, capsys)


@pytest.mark.parametrize("name", sorted(PATHS))
def test_documents_of_every_kind(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    run_all(tmp_path / "any.shade.json", PATHS[name].read_bytes(), capsys)


@pytest.mark.parametrize("suffix", [".shade.json", ".shade.ndjson", ".zip", ".cxf", ".csv", ""])
def test_a_name_says_nothing_of_what_is_inside(tmp_path: Path, capsys: pytest.CaptureFixture[str], suffix: str) -> None:
    run_all(tmp_path / f"any{suffix}", random.Random(1).randbytes(300), capsys)


def test_numbers_at_the_edge_of_what_the_format_holds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = base("crown")
    for index, reading in enumerate(case["readings"]):
        reading.pop("colours", None)
        if "spectrum" in reading:
            values = reading["spectrum"]["values"]
            reading["spectrum"]["values"] = [(1e6, -1e6, 0)[(index + place) % 3] for place in range(len(values))]
    run_all(tmp_path / "any.shade.json", written(case), capsys)
