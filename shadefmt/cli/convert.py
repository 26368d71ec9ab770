"""`shadefmt convert`: a foreign file into cases, or a case into one, always with an account of what became of it."""

import argparse
from typing import BinaryIO

from shadefmt.cli.speaking import say
from shadefmt.converters.detecting import seems_foreign
from shadefmt.converters.formats import FORMATS, LOOKED_AT, Conversion, Format, Stated, Value, format_of
from shadefmt.documents import dumps, load
from shadefmt.errors import CannotWrite, WrongUse
from shadefmt.files import STANDARD, opened, write_whole
from shadefmt.jsontext import line_form

FLAGS = {"own_fields": "--own-fields", "decimal_comma": "--decimal-comma", "tags": "--tag or --field"}
"""Options whose name is not that of what they state."""


def run(given: argparse.Namespace) -> int:
    """Convert, write cases and loss report, and say on standard error what was lost."""
    stated = stated_by(given)
    if given.to != "case":
        return _write_foreign(given, FORMATS[given.to], stated)
    if given.target != STANDARD and not given.target.endswith((".shade.json", ".shade.ndjson")):
        raise WrongUse(f"{given.target}: name the target *.shade.json (one case) or *.shade.ndjson (many)")
    with opened(given.source) as file:
        conversion = read_foreign(file, given.source, stated)
        many = given.target.endswith(".ndjson")
        cases = list(conversion.cases)
    if len(cases) != 1 and not many:
        raise CannotWrite(f"{given.source} holds {len(cases)} cases. Name a target ending .shade.ndjson")
    data = b"".join(map(line_form, cases)) if many else dumps(cases[0])
    write_whole(given.target, data, replace=given.force)
    return _finish(given, conversion)


def stated_by(given: argparse.Namespace) -> Stated:
    """Return what the options say about a foreign file."""
    return Stated(
        full=given.full,
        percent=given.percent,
        decimal_comma=given.decimal_comma,
        tags=dict(given.tags),
        notation=given.notation,
        own_fields=given.own_fields,
        mapping=load(given.mapping) if given.mapping else None,
    )


def read_foreign(file: BinaryIO, name: str, stated: Stated) -> Conversion:
    """Return what a file of a registered format holds.

    Raises:
        WrongUse: its format is not known, or an option means nothing to it.
        Refused: as the reader says.
    """
    head = file.read(LOOKED_AT)
    file.seek(0)
    found = format_of(head, stated)
    if found is None or found.read is None:
        if (foreign := seems_foreign(head)) is not None:
            raise WrongUse(f"{name} is {foreign}")
        what = f"{name} is neither CxF3 nor CGATS text"
        raise WrongUse(f"{what}. A table needs --mapping FILE, which says what its columns are")
    strange = [FLAGS.get(each, f"--{each}") for each in found.strange_options(stated)]
    if strange:
        raise WrongUse(f"{name} is {found.title}; {', '.join(strange)} means nothing there. Leave it out")
    return found.read(file, stated)


def _write_foreign(given: argparse.Namespace, target: Format, stated: Stated) -> int:
    assert target.write is not None
    written = target.write([load(given.source)], stated)
    write_whole(given.target, b"".join(written.data), replace=given.force)
    return _finish(given, Conversion([], written.loss, ()))


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
