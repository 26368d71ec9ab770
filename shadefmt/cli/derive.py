"""`shadefmt derive`: complete cases with what follows from them."""

import argparse

from shadefmt.cli.cases import sound_cases
from shadefmt.cli.progress import counted
from shadefmt.cli.speaking import say
from shadefmt.cli.targets import Put, takes_many, taking
from shadefmt.deriving import Derived, Request, derive


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
    many = takes_many(given.output, lines=given.lines)
    with taking(given.output, replace=given.force, lines=given.lines) as take:
        for case in counted(sound_cases(given.case, lines=given.lines), "cases"):
            done = derive(case.value, request)
            take(Put(done.case, case.contents))
            _tell(done, f"{case.name}: " if many else "")
    return 0


def _tell(done: Derived, which: str) -> None:
    for name, ids in done.added.items():
        say(f"{which}added to {name}: {', '.join(ids)}")
    for left in done.left:
        say(f"{which}left out: {left.what} for {left.entry_id}: {left.reason}")
