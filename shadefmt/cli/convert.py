"""`shadefmt convert`: a foreign file into cases, or a case into one, always with an account of what became of it."""

import argparse
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Final

from shadefmt.cli.speaking import say
from shadefmt.converters.cgats import OWN_FIELDS, read_cgats, seems_cgats, write_cgats
from shadefmt.converters.cxf import read_cxf
from shadefmt.converters.detecting import seems_foreign, seems_spreadsheet, seems_xml
from shadefmt.converters.table import read_table, write_table
from shadefmt.documents import dumps, load, loads
from shadefmt.errors import CannotWrite, WrongUse
from shadefmt.files import STANDARD, read_bytes, write_whole
from shadefmt.jsontext import line_form
from shadefmt.streams import document_lines, holds_lines

Value = dict[str, Any]


@dataclass(frozen=True)
class Conversion:
    """Cases, and, once they have been taken, the loss report and notices."""

    cases: Iterable[Value]
    loss: Callable[[], Value]
    notices: Iterable[Any]


def run(given: argparse.Namespace) -> int:
    """Convert, write cases and loss report, and say on standard error what was lost."""
    if given.to != "case":
        return _WRITERS[given.to](given)
    if given.target != STANDARD and not given.target.endswith((".shade.json", ".shade.ndjson")):
        raise WrongUse(f"{given.target}: name the target *.shade.json (one case) or *.shade.ndjson (many)")
    conversion = _read(given, read_bytes(given.source))
    many = given.target.endswith(".ndjson")
    cases = list(conversion.cases)
    if len(cases) != 1 and not many:
        raise CannotWrite(f"{given.source} holds {len(cases)} cases. Name a target ending .shade.ndjson")
    data = b"".join(map(line_form, cases)) if many else dumps(cases[0])
    write_whole(given.target, data, replace=given.force)
    return _finish(given, conversion)


def _read(given: argparse.Namespace, data: bytes) -> Conversion:
    if seems_xml(data):
        if given.mapping:
            raise WrongUse(f"{given.source} is XML; a table mapping is for tables")
        made = read_cxf(
            data,
            full=given.full,
            percent=given.percent,
            decimal_comma=given.decimal_comma,
            tags=dict(given.tags) or None,
            notation=given.notation,
        )
        return Conversion([made.case], lambda: made.loss, made.notices)
    if not given.mapping and seems_cgats(data):
        return _read_cgats(given, data)
    if seems_spreadsheet(data) is None and (foreign := seems_foreign(data)) is not None:
        raise WrongUse(f"{given.source} is {foreign}")
    if not given.mapping:
        what = f"{given.source} is neither CxF3 nor CGATS text"
        raise WrongUse(f"{what}. A table needs --mapping FILE, which says what its columns are")
    table = read_table(data, load(given.mapping), full=given.full)
    return Conversion(table.cases, table.loss, table.notices)


def _read_cgats(given: argparse.Namespace, data: bytes) -> Conversion:
    fields = dict(OWN_FIELDS) if given.own_fields else {}
    text = read_cgats(
        data,
        full=given.full,
        percent=given.percent or None,
        decimal_comma=given.decimal_comma,
        fields=fields | dict(given.tags),
        notation="iso-3950" if given.own_fields else given.notation,
    )
    return Conversion([text.case], lambda: text.loss, text.notices)


def _write_cgats(given: argparse.Namespace) -> int:
    text = write_cgats(load(given.source), full=given.full)
    write_whole(given.target, text.data, replace=given.force)
    return _finish(given, Conversion([], lambda: text.loss, ()))


def _write_table(given: argparse.Namespace) -> int:
    if not given.mapping:
        raise WrongUse("a table is written by the mapping that reads it: say --mapping FILE")
    if holds_lines(given.source):
        cases = [loads(line) for _, line in document_lines(given.source)]
    else:
        cases = [load(given.source)]
    table = write_table(cases, load(given.mapping), form=given.to, full=given.full)
    write_whole(given.target, table.data, replace=given.force)
    return _finish(given, Conversion([], lambda: table.loss, ()))


_WRITERS: Final[dict[str, Callable[[argparse.Namespace], int]]] = {
    "cgats": _write_cgats,
    "table": _write_table,
    "xlsx": _write_table,
    "ods": _write_table,
}
"""What writes a case in each foreign format."""


def _finish(given: argparse.Namespace, conversion: Conversion) -> int:
    """Write the loss report where it is asked for, and say what was lost."""
    loss = conversion.loss()
    if given.loss_report:
        write_whole(given.loss_report, dumps(loss), replace=given.force)
    return _say(given, conversion, loss)


def _say(given: argparse.Namespace, conversion: Conversion, loss: Value) -> int:
    for notice in conversion.notices:
        say(f"note: {notice.where}: {notice.message} {notice.remedy}".rstrip())
    allowed = set(given.allow_loss)
    refused = 0
    for item in loss.get("items", []):
        if "code" not in item:
            continue
        accepted = "all" in allowed or item["code"] in allowed
        refused += not accepted
        where = item["instances"][0]["where"] if item.get("instances") else item["path"]
        mark = "accepted loss" if accepted else "lost"
        say(f"{mark}: {item['path']} ({item['count']}x, {item['code']}, {where}): {item['reason']}")
    say(f"{loss['documents']} cases, {loss['readings']} readings")
    return 1 if refused else 0
