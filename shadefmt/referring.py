"""Which members refer to entries, and into which lists."""

from collections.abc import Iterator
from typing import Any, Final, NamedTuple

from shadefmt.model.base import Block
from shadefmt.model.case import Case

COLOURED: Final = ("readings", "computed_colours", "means", "targets", "references")
"""Lists whose entries have a colour."""

ENTRY_LISTS: Final = (
    "parties",
    "relations",
    "instruments",
    "specimens",
    "groups",
    "prescriptions",
    "backings",
    "sessions",
    "readings",
    "computed_colours",
    "withdrawals",
    "means",
    "bridges",
    "indices",
    "translucencies",
    "targets",
    "reference_sets",
    "matches",
    "tolerances",
    "comparisons",
    "verdicts",
    "conclusions",
    "events",
    "courses",
    "effects",
    "dispositions",
    "attachments",
)
"""Root lists of a case whose entries have ids."""

WITHDRAWABLE: Final = tuple(name for name in ENTRY_LISTS if name != "withdrawals")
"""Lists whose entries can be withdrawn, or take the place of one that was."""

REFERENCES: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "subject": {"issued_by_id": ("parties",)},
    "revisions": {"party_id": ("parties",)},
    "specimens": {"part_of_id": ("specimens",), "reference_id": ("references",)},
    "groups": {"specimen_ids": ("specimens",)},
    "layers": {"reference_id": ("references",)},
    "prescriptions": {
        "specimen_id": ("specimens",),
        "stump_specimen_id": ("specimens",),
        "attachment_ids": ("attachments",),
    },
    "sessions": {"instrument_id": ("instruments",), "party_id": ("parties",)},
    "readings": {
        "session_id": ("sessions",),
        "specimen_id": ("specimens",),
        "placed_over_id": ("specimens",),
        "backing_id": ("backings",),
    },
    "visual": {
        "reference_set_id": ("reference_sets",),
        "chosen_id": ("references",),
        "second_id": ("references",),
    },
    "computed_colours": {"reading_id": ("readings",)},
    "withdrawals": {"entry_id": WITHDRAWABLE, "replaced_by_id": WITHDRAWABLE},
    "means": {"reading_ids": ("readings",)},
    "targets": {
        "specimen_id": ("specimens",),
        "source_id": ("readings", "computed_colours", "means", "references"),
        "model_specimen_id": ("specimens",),
        "set_by_id": ("parties",),
        "supersedes_id": ("targets",),
    },
    "matches": {
        "of_id": ("readings", "computed_colours", "means", "targets"),
        "reference_set_id": ("reference_sets",),
        "nearest_id": ("references",),
        "runner_up_id": ("references",),
    },
    "tolerances": {"agreed_by_ids": ("parties",)},
    "comparisons": {
        "standard_id": COLOURED,
        "trial_id": ("readings", "computed_colours", "means"),
    },
    "verdicts": {"comparison_id": ("comparisons",), "tolerance_id": ("tolerances",)},
    "bridges": {
        "first_instrument_id": ("instruments",),
        "second_instrument_id": ("instruments",),
        "party_id": ("parties",),
    },
    "pairs": {
        "first_id": ("readings", "computed_colours", "means"),
        "second_id": ("readings", "computed_colours", "means"),
    },
    "indices": {"of_id": ("readings", "computed_colours", "means", "targets")},
    "translucencies": {
        "over_white_id": ("readings", "computed_colours", "means"),
        "over_black_id": ("readings", "computed_colours", "means"),
    },
    "conclusions": {"group_id": ("groups",), "specimen_id": ("specimens",), "verdict_ids": ("verdicts",)},
    "events": {"party_id": ("parties",), "specimen_ids": ("specimens",)},
    "courses": {
        "specimen_ids": ("specimens",),
        "control_specimen_ids": ("specimens",),
        "event_ids": ("events",),
    },
    "effects": {
        "course_id": ("courses",),
        "comparison_id": ("comparisons",),
        "index_before_id": ("indices",),
        "index_after_id": ("indices",),
    },
    "dispositions": {
        "specimen_id": ("specimens",),
        "verdict_ids": ("verdicts",),
        "party_id": ("parties",),
    },
    "parents": {"revision_id": ("revisions",)},
}
"""Which lists each member that refers may name an entry of."""


class Referral(NamedTuple):
    """A member that names an entry: the block that holds it, the entry around, and which lists are meant."""

    pointer: str
    entry_id: str | None
    member: str
    named: str
    allowed: tuple[str, ...]


def referrals(case: Case) -> list[Referral]:
    """Return every reference that a case makes, in order."""
    found: list[Referral] = []
    if case.subject is not None:
        _refer(found, case.subject, "subject", "/subject", None)
    for index, revision in enumerate(case.revisions or ()):
        _refer(found, revision, "revisions", f"/revisions/{index}", revision.id)
        for at, parent in enumerate(revision.parents or ()):
            _refer(found, parent, "parents", f"/revisions/{index}/parents/{at}", revision.id)
    for name in ENTRY_LISTS:
        for index, entry in enumerate(getattr(case, name) or ()):
            pointer = f"/{name}/{index}"
            if entry.revision_id is not None:
                found.append(Referral(pointer, entry.id, "revision_id", entry.revision_id, ("revisions",)))
            _refer(found, entry, name, pointer, entry.id)
            for inner, place, below in _inner_blocks(name, entry):
                _refer(found, inner, place, f"{pointer}/{below}", entry.id)
    return found


def referring_members(block: Block, place: str) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield member, id named and lists allowed, for every reference that a block makes.

    `place` is the root list, or `visual`, `parents`, `subject` for the blocks inside.
    """
    for member, allowed in REFERENCES.get(place, {}).items():
        named = getattr(block, member)
        if named is None:
            continue
        if isinstance(named, list):
            for index, each in enumerate(named):
                yield f"{member}/{index}", each, allowed
        else:
            yield member, named, allowed


def _refer(found: list[Referral], block: Block, place: str, pointer: str, entry_id: str | None) -> None:
    for member, named, allowed in referring_members(block, place):
        found.append(Referral(pointer, entry_id, member, named, allowed))


def _inner_blocks(list_name: str, entry: Any) -> Iterator[tuple[Block, str, str]]:
    """Yield the blocks inside an entry that refer to entries: block, its place in `REFERENCES`, pointer below."""
    if list_name == "readings" and entry.visual is not None:
        yield entry.visual, "visual", "visual"
    for owner, member in (("prescriptions", "layers"), ("bridges", "pairs")):
        if list_name == owner:
            for index, block in enumerate(getattr(entry, member) or ()):
                yield block, member, f"{member}/{index}"
