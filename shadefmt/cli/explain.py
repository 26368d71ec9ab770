"""`shadefmt explain`: what a finding or a demand means, for whoever got one."""

import argparse
import difflib

from shadefmt.catalogue import DemandEntry, RuleEntry, catalogue
from shadefmt.errors import WrongUse
from shadefmt.rendering import explain_text


def run(given: argparse.Namespace) -> int:
    """Explain codes of findings and words of demands, or list them."""
    entries: dict[str, RuleEntry | DemandEntry] = {**catalogue().rules, **catalogue().demands}
    if not given.codes and not given.all:
        for name, entry in entries.items():
            weight = entry.severity if isinstance(entry, RuleEntry) else "demand"
            print(f"{name:44} {weight:8} {entry.title}")
        return 0
    names = list(entries) if given.all else given.codes
    for name in names:
        if name not in entries:
            near = difflib.get_close_matches(name, entries, 3)
            hint = f"Did you mean {' or '.join(near)}?" if near else "`shadefmt explain` lists all of them"
            raise WrongUse(f"there is no code and no demand {name!r}. {hint}")
    print("\n\n".join(explain_text(entries[name]).rstrip("\n") for name in names))
    return 0
