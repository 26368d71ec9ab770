"""What commands say of a loss report: each loss in a line, and whether all of them were allowed."""

from collections.abc import Collection, Iterable
from typing import Any

from shadefmt.cli.speaking import say

Value = dict[str, Any]


def allows(allowed: Collection[str], code: str) -> bool:
    """Return whether a loss of a code was allowed, by name or all at once."""
    return "all" in allowed or code in allowed


def losses_of(loss: Value) -> list[Value]:
    """Return the items of a loss report that lost something."""
    return [each for each in loss.get("items", ()) if "code" in each]


def say_losses(loss: Value, notices: Iterable[Any], allowed: Collection[str]) -> bool:
    """Say notices and losses on standard error; return whether every loss was allowed."""
    for notice in notices:
        say(f"note: {notice.where}: {notice.message} {notice.remedy}".rstrip())
    for item in losses_of(loss):
        where = item["instances"][0]["where"] if item.get("instances") else item["path"]
        mark = "accepted loss" if allows(allowed, item["code"]) else "lost"
        say(f"{mark}: {item['path']} ({item['count']}x, {item['code']}, {where}): {item['reason']}")
    say(f"{loss['documents']} cases, {loss['readings']} readings")
    return all(allows(allowed, each["code"]) for each in losses_of(loss))
