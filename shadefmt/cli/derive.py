"""`shadefmt derive`: complete a case with what follows from it."""

import argparse

from shadefmt.cli.cases import sound_case
from shadefmt.cli.speaking import say
from shadefmt.deriving import Request, derive
from shadefmt.documents import dumps
from shadefmt.files import write_whole


def run(given: argparse.Namespace) -> int:
    """Derive and write; what was added and left is said on standard error."""
    request = Request(
        illuminant=given.illuminant,
        observer=given.observer,
        formula=given.formula,
        question=given.question,
        decimals=given.decimals,
        components=dict(given.components),
    )
    done = derive(sound_case(given.case), request)
    write_whole(given.output, dumps(done.case), replace=given.force)
    for name, ids in done.added.items():
        say(f"added to {name}: {', '.join(ids)}")
    for left in done.left:
        say(f"left out: {left.what} for {left.entry_id}: {left.reason}")
    return 0
