"""`shadefmt derive`: complete a case with what follows from it."""

import argparse
import sys

from shadefmt.checking import check
from shadefmt.deriving import Request, derive
from shadefmt.documents import dumps, loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import read_bytes, write_whole
from shadefmt.versions import FORMAT_VERSION


def run(given: argparse.Namespace) -> int:
    """Derive and write; what was added and left is said on standard error."""
    data = read_bytes(given.case)
    case = loads(data)
    report = check(data)
    faults = [each for each in report.findings or () if each.stage != "rules" and each.severity == "error"]
    if faults:
        raise Refused(faults[0].message, where=f"{given.case}: {faults[0].pointer or 'root'}", remedy="Check it first")
    if case["kind"] != "case":
        raise WrongUse(f"{given.case} is a {case['kind']}; only a case can be completed")
    if case["version"] != FORMAT_VERSION:
        raise WrongUse(f"{given.case} is of version {case['version']}; complete it with a program that knows it")
    request = Request(
        illuminant=given.illuminant,
        observer=given.observer,
        formula=given.formula,
        question=given.question,
        decimals=given.decimals,
        components=dict(given.components),
    )
    done = derive(case, request)
    write_whole(given.output, dumps(done.case), replace=given.force)
    for name, ids in done.added.items():
        print(f"added to {name}: {', '.join(ids)}", file=sys.stderr)
    for left in done.left:
        print(f"left out: {left.what} for {left.entry_id}: {left.reason}", file=sys.stderr)
    return 0
