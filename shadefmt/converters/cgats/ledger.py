"""The account of a CGATS file: every keyword, field and comment is counted under what became of it."""

from dataclasses import replace
from typing import Final

from shadefmt.converters.base import Account, Notice
from shadefmt.vocabulary import Fate

EXTENSION: Final = "org.shadefmt.cgats"
"""Extension of the case that holds what has no member."""

ASIDE: Final = f"/extensions/{EXTENSION}"
MAX_PATHS: Final = 400
MAX_PATH: Final = 200

_TOO_MANY: Final = "(further names)"


class Ledger:
    """Collects what is kept, lost and worth saying; names beyond the first few hundred are counted together."""

    def __init__(self, account: Account) -> None:
        self.account = account
        self._notices: dict[tuple[str, str], Notice] = {}
        self._paths: set[str] = set()

    def kept(self, path: str, to: str = "", count: int = 1) -> None:
        """Count content that is in a member of the case, or needs none."""
        if count:
            self.account.kept(self._bounded(path), to, count)

    def aside(self, path: str, count: int = 1) -> None:
        """Count content that the extension holds."""
        self.kept(path, ASIDE, count)

    def converted(self, path: str, to: str, reason: str, count: int = 1) -> None:
        """Count content that was restated without loss."""
        if count:
            self.account.converted(self._bounded(path), to, reason, count)

    def lost(
        self,
        path: str,
        fate: Fate,
        code: str,
        reason: str,
        *,
        where: str,
        old: str = "",
        new: str = "",
        count: int = 1,
    ) -> None:
        """Record a loss at one place, of one value or `count` of them."""
        path = self._bounded(path)
        self.account.lost(path, fate, code, reason, where=where[:200], old=old, new=new)
        if count > 1:
            self.account.lost_more(path, fate, reason, count - 1)

    def notice(self, code: str, where: str, message: str, remedy: str) -> None:
        """Record a notice; the same code and message again only counts."""
        known = self._notices.get((code, message))
        self._notices[code, message] = (
            replace(known, count=known.count + 1) if known else Notice(code, where[:200], message, remedy)
        )

    @property
    def notices(self) -> list[Notice]:
        """The notices in order of first appearance."""
        return list(self._notices.values())

    def _bounded(self, path: str) -> str:
        path = path if len(path) <= MAX_PATH else path[: MAX_PATH - 1] + "…"
        if path in self._paths:
            return path
        if len(self._paths) >= MAX_PATHS:
            return _TOO_MANY
        self._paths.add(path)
        return path
