"""A case while it is being completed: its plain value beside a view that always fits it."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from shadefmt.history import add_entries
from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.referring import ENTRY_LISTS

Value = dict[str, Any]


class Draft:
    """One state of the case. Adding entries gives a new draft; members unknown to the model are kept."""

    def __init__(self, case: Value) -> None:
        self.case = case

    @cached_property
    def view(self) -> CaseView:
        """The case with its ids resolved."""
        return CaseView(Case.model_validate(self.case))

    @cached_property
    def revision_id(self) -> str | None:
        """The revision that is being written: the last one; None while there is at most one."""
        revisions = self.view.case.revisions or []
        return revisions[-1].id if len(revisions) > 1 else None

    def is_own(self, entry: Any) -> bool:
        """Return whether an entry belongs to the revision that is being written."""
        stated: str | None = entry.revision_id
        return (stated or self.view.first_revision_id) == (self.revision_id or self.view.first_revision_id)

    def named(self, wanted: str, also: set[str]) -> str:
        """Return an id that is free, the wanted one if possible, and take it."""
        taken = self.view.entries.keys() | {each.id for each in self.view.case.revisions or ()} | also
        number, found = 1, wanted[:72]
        while found in taken:
            number += 1
            found = f"{wanted[:72]}-{number}"
        also.add(found)
        return found

    def entry(self, entry_id: str, **members: Any) -> Value:
        """Return a new entry of the revision that is being written; members that are None are left out."""
        own = {"revision_id": self.revision_id} if self.revision_id else {}
        rest = {name: item for name, item in members.items() if item is not None}
        return {"id": entry_id, **own, **rest}

    def with_entries(self, additions: Mapping[str, list[Value]]) -> "Draft":
        """Return the draft with entries added."""
        return Draft(add_entries(self.case, additions)) if any(additions.values()) else self

    def replacing(self, list_name: str, entries: list[Value]) -> "Draft":
        """Return the draft with one list replaced; only for completing entries of the own revision."""
        assert list_name in ENTRY_LISTS
        return Draft({**self.case, list_name: entries})


def number(value: float, decimals: int) -> int | float:
    """Return a number as it is written: rounded, whole ones without a point."""
    rounded = round(value, decimals) + 0.0
    return int(rounded) if rounded.is_integer() else rounded
