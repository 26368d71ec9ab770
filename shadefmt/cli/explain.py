"""`shadefmt explain`: what a finding means, for whoever got one."""

import argparse
import difflib

from shadefmt.catalogue import catalogue
from shadefmt.errors import WrongUse
from shadefmt.rendering import explain_text


def run(given: argparse.Namespace) -> int:
    """Explain codes, or list them."""
    rules = catalogue().rules
    if not given.codes and not given.all:
        for code, rule in rules.items():
            print(f"{code:44} {rule.severity:8} {rule.title}")
        return 0
    codes = list(rules) if given.all else given.codes
    for code in codes:
        if code not in rules:
            near = difflib.get_close_matches(code, rules, 3)
            hint = f"Did you mean {' or '.join(near)}?" if near else "`shadefmt explain` lists all codes"
            raise WrongUse(f"there is no code {code!r}. {hint}")
    print("\n\n".join(explain_text(rules[code]).rstrip("\n") for code in codes))
    return 0
