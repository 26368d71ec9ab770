"""`shadefmt amend`: add a revision with new entries to a case; nothing that is there is touched."""

import argparse

from shadefmt.amending import add_revision
from shadefmt.cli.cases import refuse_faults, sound_case
from shadefmt.cli.targets import Put, taking
from shadefmt.documents import dumps, load, loads
from shadefmt.errors import WrongUse
from shadefmt.versions import FORMAT_NAME, tool_version


def run(given: argparse.Namespace) -> int:
    """Add the entries of a file as one revision and write the case."""
    case, additions = sound_case(given.case), load(given.additions)
    if not all(isinstance(entries, list) and all(map(_is_entry, entries)) for entries in additions.values()):
        raise WrongUse(f"{given.additions}: lists of entries with ids are meant, by the name of the root list")
    revision = {
        "id": given.revision,
        "party_id": given.party,
        "at": given.at,
        "producer": {"name": FORMAT_NAME, "version": tool_version()},
        "note": given.note,
    }
    revision = {name: item for name, item in revision.items() if item is not None}
    amended = dumps(add_revision(case.value, revision, additions))
    refuse_faults(amended, f"{given.case} with {given.additions}")
    with taking(given.output, replace=given.force) as take:
        take(Put(loads(amended), case.contents))
    return 0


def _is_entry(entry: object) -> bool:
    return isinstance(entry, dict) and isinstance(entry.get("id"), str)
