"""What an entry rests on, all the way down: so that a fault below is shown beside the outcome above."""

from shadefmt.indexing import CaseView
from shadefmt.referring import referring_members
from shadefmt.model.report import Finding, Report

ELSEWHERE = frozenset({"parties", "attachments", "revisions"})
"""Lists that carry no part of a number."""


def foundations(view: CaseView, *entry_ids: str | None) -> frozenset[str]:
    """Return entries with everything that they refer to, directly or through others, as far as it is there."""
    found: set[str] = set()
    waiting = [each for each in entry_ids if each is not None]
    while waiting:
        entry_id = waiting.pop()
        located = view.entries.get(entry_id)
        if entry_id in found or located is None or located.list_name in ELSEWHERE:
            continue
        found.add(entry_id)
        for _, named, _ in referring_members(located.entry, located.list_name):
            waiting.append(named)
        if located.list_name == "readings" and located.entry.visual is not None:
            waiting += [named for _, named, _ in referring_members(located.entry.visual, "visual")]
    return frozenset(found)


def touching(report: Report, entry_ids: frozenset[str]) -> list[Finding]:
    """Return the findings about any of the entries, in the order of the report."""
    return [each for each in report.findings or () if each.entry_id in entry_ids]
