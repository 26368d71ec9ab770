"""What an entry rests on, all the way down: so that a fault below is shown beside the outcome above."""

from collections.abc import Iterable
from functools import cached_property
from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Finding, Report

ELSEWHERE: Final = frozenset({"parties", "attachments", "revisions", "relations", "events", "groups"})
"""Lists that carry no part of a number."""

PAST: Final = frozenset({"supersedes_id", "revision_id"})
"""Members that name what an entry came after, not what it rests on."""


class Foundations:
    """Which entries every entry of a case rests on, and which findings are about any of them."""

    def __init__(self, view: CaseView, report: Report) -> None:
        self._view = view
        self._findings = report.findings or []
        self._known: dict[str, frozenset[str]] = {}

    @cached_property
    def _below(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for each in self._view.references:
            if each.entry_id is not None and each.member.split("/")[0] not in PAST:
                found.setdefault(each.entry_id, []).append(each.named)
        return found

    def of(self, entry_id: str | None) -> frozenset[str]:
        """Return an entry with everything that it refers to, directly or through others, as far as it is there."""
        if entry_id is None:
            return frozenset()
        if entry_id not in self._known:
            self._known[entry_id] = frozenset(self._walk(entry_id))
        return self._known[entry_id]

    def errors(self, entry_ids: Iterable[str]) -> tuple[str, ...]:
        """Return the codes of errors in any of the entries or in what they rest on, each once."""
        return self._codes(entry_ids, "error")

    def warnings(self, entry_ids: Iterable[str]) -> tuple[str, ...]:
        """Return the codes of warnings in any of the entries or in what they rest on, each once."""
        return self._codes(entry_ids, "warning")

    def _codes(self, entry_ids: Iterable[str], severity: str) -> tuple[str, ...]:
        about: frozenset[str] = frozenset().union(*map(self.of, entry_ids))
        found = (each.code for each in self._findings if each.severity == severity and each.entry_id in about)
        return tuple(dict.fromkeys(found))

    def findings_about(self, entry_ids: set[str]) -> list[Finding]:
        """Return the findings about entries that rest on any of these, or that are one of them."""
        return [each for each in self._findings if self.of(each.entry_id) & entry_ids]

    def _walk(self, entry_id: str) -> set[str]:
        found: set[str] = set()
        waiting = [entry_id]
        while waiting:
            each = waiting.pop()
            located = self._view.entries.get(each)
            if each in found or located is None or located.list_name in ELSEWHERE:
                continue
            found.add(each)
            waiting += self._below.get(each, [])
        return found
