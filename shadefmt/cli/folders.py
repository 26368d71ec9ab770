"""A folder of foreign files as the source of `shadefmt convert`: each by its content, all cases into one target."""

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Any

from shadefmt.cli.foreign import recognised, stated_by
from shadefmt.cli.losses import say_losses
from shadefmt.cli.speaking import say
from shadefmt.cli.targets import Put, Taking, takes_many
from shadefmt.converters.formats import LOOKED_AT, Stated, format_of
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import opened, write_whole
from shadefmt.jsontext import line_form

Value = dict[str, Any]


def into_cases(given: argparse.Namespace, take: Taking) -> bool:
    """Hand on the cases of every file of a folder; say what was lost of each, and return whether all was allowed.

    Raises:
        WrongUse: the target holds one case, the folder no file or one of them twice, or an option means nothing here.
        Refused: a file cannot be read; nothing is written then.
    """
    if not takes_many(given.target, lines=given.lines):
        raise WrongUse(f"{given.source} is a folder: name a target for many cases, *.shade.ndjson")
    if given.loss_report and not takes_many(given.loss_report):
        raise WrongUse(f"{given.source} is a folder, and a loss report is of one file: name --loss-report *.ndjson")
    allowed, reports = True, list[Value]()
    seen: dict[str, str] = {}
    for name in _files(given.source):
        conversion = _converted(name, stated_by(given), take)
        loss = conversion["loss"]
        digest = loss["source"]["sha256"]
        if digest in seen:
            raise WrongUse(f"{name} and {seen[digest]} hold the same bytes. Take one of them out of the folder")
        seen[digest] = name
        reports.append(loss)
        say(f"{name}:")
        allowed &= say_losses(loss, conversion["notices"], given.allow_loss)
    if given.loss_report:
        write_whole(given.loss_report, b"".join(map(line_form, reports)), replace=given.force)
    return allowed


def _files(folder: str) -> list[str]:
    """The files below a folder in order of name, but for hidden ones."""
    below = Path(folder)
    found = sorted(
        each
        for each in below.rglob("*")
        if each.is_file() and not any(part.startswith(".") for part in each.relative_to(below).parts)
    )
    if not found:
        raise WrongUse(f"{folder} holds no file")
    return [str(each) for each in found]


def _converted(name: str, stated: Stated, take: Taking) -> Value:
    with opened(name) as file:
        head = file.read(LOOKED_AT)
        file.seek(0)
        likely = format_of(head, stated)
        usual = Stated()
        foreign = {} if likely is None else {each: getattr(usual, each) for each in likely.strange_options(stated)}
        own = replace(stated, **foreign)  # options are for those files that they mean something to
        read = recognised(file, name, own).read
        assert read is not None
        try:
            conversion = read(file, own)
            for case in conversion.cases:
                take(Put(case))
            return {"loss": conversion.loss(), "notices": conversion.notices}
        except Refused as fault:
            raise Refused(f"{name}: {fault.what}", where=fault.where, remedy=fault.remedy) from None
