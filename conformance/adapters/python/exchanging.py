"""Runs the cases that ask what a foreign file becomes, and what becomes of a document in a foreign file."""

import base64
import io
import json
from typing import Any, Final

from rows import rows_of
from suite import SUITE, Case, Value, document

from shadefmt.checking import check
from shadefmt.converters.formats import FORMATS, Stated
from shadefmt.documents import dumps, loads
from shadefmt.errors import Refused

REFERENCES: Final = {"specimen_id": "specimens", "session_id": "sessions", "instrument_id": "instruments"}
"""Members whose entry stands in their place where readings are compared, since ids are each program's own."""


def run_import(case: Case) -> str | None:
    """What differs from the expectation, None where nothing does."""
    content = case.content
    try:
        got = imported(content)
    except Refused:
        got = {"refused": True}
    return _compared({"refused": False, **content["expect"]}, {"refused": False, **got})


def imported(content: Value) -> Value:
    """What the reader of this package makes of the file of a case."""
    read = FORMATS[content["format"]].read
    if read is None:
        raise ValueError(f"{content['format']} is not read")
    conversion = read(io.BytesIO(_file(content)), Stated(**content.get("options", {})))
    cases = list(conversion.cases)
    findings = [finding for each in cases for finding in check(dumps(each)).findings or ()]
    return {
        "cases": len(cases),
        "readings": [flat for each in cases for flat in flattened(each)],
        "losses": losses(conversion.loss()),
        "findings": sorted([each.code, each.pointer] for each in findings),
    }


def run_export(case: Case) -> str | None:
    """What differs from the expectation, None where nothing does."""
    try:
        got = exported(case.content)
    except Refused:
        got = {"refused": True}
    return _compared({"refused": False, **case.content["expect"]}, {"refused": False, **got})


def exported(content: Value) -> Value:
    """What the writer of this package makes of the document of a case."""
    write = FORMATS[content["format"]].write
    if write is None:
        raise ValueError(f"{content['format']} is not written")
    stated = Stated(**content.get("options", {}))
    written = write([loads(document(content))], stated)
    rows = rows_of(content["format"], b"".join(written.data), stated.mapping or {})
    return {"rows": rows, "losses": losses(written.loss())}


def flattened(case: Value) -> list[Value]:
    """The readings of a case without ids, the entries that they refer to in the place of the references."""
    by_list = {name: {each["id"]: each for each in case.get(name, ())} for name in REFERENCES.values()}

    def whole(entry: Value) -> Value:
        made = {name: value for name, value in entry.items() if name != "id" and name not in REFERENCES}
        for name, entries in REFERENCES.items():
            if name in entry:
                made[name.removesuffix("_id")] = whole(by_list[entries][entry[name]])
        return made

    return [whole(each) for each in case.get("readings", ())]


def losses(report: Value) -> list[list[Any]]:
    """The losses of a report: path pattern, fate, code, count."""
    return sorted([each["path"], each["fate"], each["code"], each["count"]] for each in _lost(report))


def _lost(report: Value) -> list[Value]:
    return [each for each in report.get("items", ()) if "code" in each]


def _file(content: Value) -> bytes:
    if "file" in content:
        return (SUITE / content["file"]).read_bytes()
    return base64.b64decode(content["base64"]) if "base64" in content else str(content["text"]).encode("utf-8")


def _compared(expected: Value, got: Value) -> str | None:
    """What was stated and is otherwise; lists of losses and findings in no order, readings and rows in theirs."""
    wanted = {name: sorted(item) if name in ("losses", "findings") else item for name, item in expected.items()}
    unlike = [
        f"{name}: expected {json.dumps(item)}, got {json.dumps(got.get(name))}"
        for name, item in wanted.items()
        if got.get(name) != item
    ]
    return "; ".join(unlike) or None
