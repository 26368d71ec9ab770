"""`shadefmt convert`: a foreign file into cases, or a case into one, always with an account of what became of it."""

import argparse
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from shadefmt.cli.speaking import say
from shadefmt.converters.cgats import OWN_FIELDS, read_cgats, seems_cgats, write_cgats
from shadefmt.converters.cxf import read_cxf
from shadefmt.converters.detecting import seems_foreign, seems_xml
from shadefmt.converters.proposing import propose_mapping
from shadefmt.converters.table import read_table
from shadefmt.documents import dumps, load
from shadefmt.errors import CannotWrite, WrongUse
from shadefmt.files import STANDARD, read_bytes, write_whole
from shadefmt.jsontext import line_form

Value = dict[str, Any]


@dataclass(frozen=True)
class Conversion:
    """Cases, and, once they have been taken, the loss report and notices."""

    cases: Iterable[Value]
    loss: Callable[[], Value]
    notices: Iterable[Any]


def run(given: argparse.Namespace) -> int:
    """Convert, write cases and loss report, and say on standard error what was lost."""
    if given.propose_mapping:
        return _propose(given)
    if given.target is None:
        raise WrongUse("name a target: *.shade.json for one case, *.shade.ndjson for many, or - for standard output")
    if given.to == "cgats":
        return _write_cgats(given)
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
    if (foreign := seems_foreign(data)) is not None:
        raise WrongUse(f"{given.source} is {foreign}")
    if not given.mapping:
        what = f"{given.source} is neither CxF3 nor CGATS text"
        raise WrongUse(f"{what}. A table needs --mapping FILE; --propose-mapping drafts one")
    table = read_table(data, load(given.mapping), full=given.full, group=given.group)
    return Conversion(table.cases, table.loss, table.notices)


def _propose(given: argparse.Namespace) -> int:
    """Write a mapping for a table; say what a person has to decide, and exit with 1 where that is something."""
    data = read_bytes(given.source)
    foreign = "XML, no table" if seems_xml(data) else seems_foreign(data)
    if foreign is not None:
        raise WrongUse(f"{given.source} is {foreign}")
    proposal = propose_mapping(data)
    write_whole(given.target or STANDARD, dumps(proposal.mapping), replace=given.force)
    for each in proposal.questions:
        say(f"to decide: {each['place']}: {each['question']}")
    say(f"{len(proposal.questions)} questions are open; see the columns under proposal before the mapping is used")
    return 1 if proposal.questions else 0


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
