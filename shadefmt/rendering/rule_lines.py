"""One rule or demand explained to somebody who is not a programmer."""

import re
from typing import Final

from shadefmt.catalogue import DemandEntry, RuleEntry
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

Sections = tuple[tuple[str, str], ...]
"""Headings, each with its text; one without a text is left out."""

_PLACEHOLDER: Final = re.compile(r"\{([A-Za-z_0-9]+)\}")


def explain_text(entry: RuleEntry | DemandEntry) -> str:
    """Return what a rule or demand looks for, why that matters and what to do, ending with a line break."""
    name: str
    if isinstance(entry, DemandEntry):
        name, sections, templates = entry.demand, _of_demand(entry), ""
    else:
        name, sections, templates = entry.code, _of_rule(entry), entry.message + entry.remedy
    lines = [name, *wrapped(entry.title, WIDTH), ""]
    for heading, text in sections:
        if text:
            lines += [heading, *wrapped(visible(text), WIDTH, first="  ")]
    if _PLACEHOLDER.search(templates):
        lines += ["", *wrapped("Words in <angle brackets> are filled in from the file.", WIDTH)]
    return "\n".join(lines) + "\n"


def _of_demand(demand: DemandEntry) -> Sections:
    return (
        ("How grave", "no fault of the file: it stands against the case for this receiver, unless it is waived"),
        ("What to do", demand.remedy),
        ("When it looks", "when a case is held against a profile that demands it"),
        ("What it looks at", KINDS["case"]),
        ("Where it comes from", demand.source),
        ("Specification", "section 9.14"),
    )


def _of_rule(rule: RuleEntry) -> Sections:
    return (
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


def _slots(template: str) -> str:
    """Return a template with its parameters as words in angle brackets."""
    return _PLACEHOLDER.sub(lambda found: f"<{found[1].replace('_', ' ')}>", template)
