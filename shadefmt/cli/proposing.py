"""`shadefmt convert --propose-mapping`: a mapping for a table, with what speaks for it and what a person decides."""

import argparse

from shadefmt.cli.speaking import say
from shadefmt.converters.detecting import seems_foreign, seems_spreadsheet, seems_xml
from shadefmt.converters.proposing import propose_mapping
from shadefmt.documents import dumps
from shadefmt.errors import WrongUse
from shadefmt.files import STANDARD, read_bytes, write_whole


def run(given: argparse.Namespace) -> int:
    """Write a mapping for a table; say what a person has to decide, and exit with 1 where that is something."""
    data = read_bytes(given.source)
    foreign = "XML, no table" if seems_xml(data) else seems_foreign(data)
    if foreign is not None and seems_spreadsheet(data) is None:
        raise WrongUse(f"{given.source} is {foreign}")
    proposal = propose_mapping(data)
    write_whole(given.target or STANDARD, dumps(proposal.mapping), replace=given.force)
    for each in proposal.questions:
        say(f"to decide: {each['place']}: {each['question']}")
    say(f"{len(proposal.questions)} questions are open; see the columns under proposal before the mapping is used")
    return 1 if proposal.questions else 0
