"""`shadefmt convert`: a foreign file into cases, a case into one, a document into another version, with an account."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from shadefmt.cli import folders, proposing
from shadefmt.cli.foreign import Value, place_of_source, recognised, stated_by, with_source
from shadefmt.cli.losses import say_losses
from shadefmt.cli.progress import counted
from shadefmt.cli.sources import all_sources
from shadefmt.cli.speaking import say
from shadefmt.cli.targets import Put, is_bundle, takes_many, taking
from shadefmt.converters.formats import FORMATS, Conversion
from shadefmt.documents import dumps, loads
from shadefmt.errors import ShadefmtError, WrongUse
from shadefmt.files import STANDARD, opened, read_bytes, whole, write_whole
from shadefmt.migrating import migrate


class _Withheld(ShadefmtError):
    """Something was lost, and nothing is to be written then."""


def run(given: argparse.Namespace) -> int:
    """Convert, write cases and loss report, and say on standard error what was lost."""
    if given.propose_mapping:
        return proposing.run(given)
    if given.target is None:
        raise WrongUse("name a target: *.shade.json for one case, *.shade.ndjson for many, or - for standard output")
    try:
        if given.to_version:
            return _into_version(given)
        return _into_cases(given) if given.to == "case" else _into_foreign(given)
    except _Withheld:
        say("shadefmt: something was lost that --allow-loss does not allow; with --strict nothing was written")
        return 1


def _into_cases(given: argparse.Namespace) -> int:
    target = given.target
    many = takes_many(target, lines=given.lines)
    if target != STANDARD and not (many or is_bundle(target) or target.endswith(".shade.json")):
        what = "name the target *.shade.json (one case), *.shade.ndjson (many; also .gz and .zst)"
        raise WrongUse(f"{target}: {what}, *.zip or a folder ending in / (a bundle)")
    if given.keep_source and many:
        raise WrongUse("--keep-source: a file of many cases has no attachments beside it. Name a bundle as target")
    if given.source != STANDARD and Path(given.source).is_dir():
        with taking(target, replace=given.force, lines=given.lines) as take:
            return _held_back(given, folders.into_cases(given, take))
    stated = stated_by(given)
    with opened(given.source) as file, taking(target, replace=given.force, lines=given.lines) as take:
        found = recognised(file, given.source, stated)
        assert found.read is not None
        conversion = found.read(file, stated)
        if not given.keep_source:
            for case in counted(conversion.cases, "cases"):
                take(Put(case))
            return _finish(given, conversion)
        cases = list(conversion.cases)
        place = place_of_source(given.source, target)
        for case in cases:
            take(Put(*with_source(case, file, conversion.loss()["source"], place, found.media_type)))
        return _finish(given, conversion)


def _into_version(given: argparse.Namespace) -> int:
    if given.to != "case" or given.keep_source:
        raise WrongUse("--to-version restates a document as it is; --to and --keep-source mean nothing beside it")
    made = migrate(read_bytes(given.source), given.to_version, full=given.full)
    with whole(given.target, replace=given.force) as stream:
        stream.write(dumps(made.document))
        return _finish(given, Conversion((), lambda: made.loss, ()))


def _into_foreign(given: argparse.Namespace) -> int:
    write = FORMATS[given.to].write
    assert write is not None
    if given.keep_source:
        raise WrongUse("--keep-source keeps foreign files in cases; it means nothing with --to")
    written = write(counted(_cases_of(given), "cases"), stated_by(given))
    with whole(given.target, replace=given.force) as stream:
        for piece in written.data:
            stream.write(piece)
        return _finish(given, Conversion((), written.loss, ()))


def _cases_of(given: argparse.Namespace) -> Iterator[Value]:
    return (loads(each.data) for each in all_sources([given.source], lines=given.lines))


def _finish(given: argparse.Namespace, conversion: Conversion) -> int:
    """Write the loss report where it is asked for, say what was lost, and hold the output back if that was asked."""
    loss = conversion.loss()
    if given.loss_report:
        write_whole(given.loss_report, dumps(loss), replace=given.force)
    return _held_back(given, say_losses(loss, conversion.notices, given.allow_loss))


def _held_back(given: argparse.Namespace, allowed: bool) -> int:
    if given.strict and not allowed:
        raise _Withheld
    return 0 if allowed else 1
