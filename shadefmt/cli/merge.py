"""`shadefmt merge`: two versions of one case become one, or what stands against it is said."""

import argparse

from shadefmt.cli.cases import sound_case
from shadefmt.cli.speaking import say
from shadefmt.cli.targets import Put, either, taking
from shadefmt.merging import merge


def run(given: argparse.Namespace) -> int:
    """Merge and write; 1 and nothing written where the versions contradict each other."""
    first, second = sound_case(given.first), sound_case(given.second)
    merged = merge(first.value, second.value)
    if merged.case is None:
        for each in merged.conflicts:
            say(f"{each.code} {each.pointer}: {each.message}")
        count = len(merged.conflicts)
        say(f"shadefmt: {count} contradictions; nothing was written. The parties have to settle them")
        return 1
    with taking(given.output, replace=given.force) as take:
        take(Put(merged.case, either(first.contents, second.contents)))
    return 0
