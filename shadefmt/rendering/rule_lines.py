"""One rule explained to somebody who is not a programmer."""

import re
from typing import Final

from shadefmt.catalogue import RuleEntry
from shadefmt.rendering.figures import listed
from shadefmt.rendering.file_state import SEVERITIES
from shadefmt.rendering.visible import visible, wrapped

WIDTH: Final = 80
"""Columns of the text."""

STAGES: Final = {
    "syntax": "while the text of the file is read",
    "version": "once the text is read: what kind of document it is",
    "structure": "once the kind is known: members, types and words",
    "rules": "once the structure is sound: what the file claims",
    "intake": "when a case is held against the profile and the waivers of a receiver",
}
"""When a rule looks, by stage."""

ASKS: Final = {
    "as_of": "only when the moment to judge by is given",
    "previous": "only when an earlier version of the case is at hand",
}
"""What a rule needs beside the document."""

KINDS: Final = {
    "case": "cases",
    "reference-set": "reference sets",
    "tolerance": "tolerances",
    "table-mapping": "table mappings",
    "intake-profile": "intake profiles",
    "waiver-list": "waiver lists",
}

_PLACEHOLDER: Final = re.compile(r"\{([A-Za-z_0-9]+)\}")


def explain_text(rule: RuleEntry) -> str:
    """Return what a rule looks for, why that matters and what to do, ending with a line break."""
    lines = [rule.code, *wrapped(rule.title, WIDTH), ""]
    sections = (
        ("How grave", SEVERITIES[rule.severity]),
        ("What it says", _slots(rule.message)),
        ("Why it matters", rule.why),
        ("What to do", _slots(rule.remedy)),
        ("When it stays silent", rule.guard),
        ("When it looks", STAGES[rule.stage] + (f"; {ASKS[rule.asks]}" if rule.asks in ASKS else "")),
        ("What it looks at", listed(sorted(KINDS.get(each, each) for each in rule.kinds))),
        ("Where it comes from", rule.source),
        ("Specification", f"section {rule.section}"),
    )
    for heading, text in sections:
        if text:
            lines += [heading, *wrapped(visible(text), WIDTH, first="  ")]
    if _PLACEHOLDER.search(rule.message + rule.remedy):
        lines += ["", *wrapped("Words in <angle brackets> are filled in from the file.", WIDTH)]
    return "\n".join(lines) + "\n"


def _slots(template: str) -> str:
    """Return a template with its parameters as words in angle brackets."""
    return _PLACEHOLDER.sub(lambda found: f"<{found[1].replace('_', ' ')}>", template)
