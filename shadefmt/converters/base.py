"""What every converter shares: the account of what became of the source, and ids that follow from it."""

import hashlib
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.versions import FIRST_VERSION, FORMAT_NAME
from shadefmt.vocabulary import Fate

LOSSES: Final[frozenset[Fate]] = frozenset({"rounded", "defaulted", "dropped"})
"""Fates after which a source cannot be rebuilt."""

MAX_INSTANCES = 3
"""Instances listed for each path of a loss report unless all are asked for."""


@dataclass
class Account:
    """Counts what became of each path of a source. Whatever nobody accounts for is to be recorded as dropped.

    `full` lists every instance of a loss instead of the first few.
    """

    full: bool = False
    _items: dict[tuple[str, Fate, str, str], dict[str, Any]] = field(default_factory=dict)

    def kept(self, path: str, to: str = "", count: int = 1) -> None:
        """Record that the content at a path is in the target unchanged (`renamed` where its name differs)."""
        self._count(path, "renamed" if to and to != path else "kept", to, "", count)

    def converted(self, path: str, to: str, reason: str, count: int = 1) -> None:
        """Record that content was restated without loss, such as percent to factor."""
        self._count(path, "converted", to, reason, count)

    def lost(self, path: str, fate: Fate, code: str, reason: str, *, where: str, old: str = "", new: str = "") -> None:
        """Record a loss (`rounded`, `defaulted` or `dropped`) at one place of the source."""
        item = self._count(path, fate, "", reason, 1)
        item["code"] = code
        instances = item.setdefault("instances", [])
        if self.full or len(instances) < MAX_INSTANCES:
            instances.append(
                {"where": where, **({"before": old[:200]} if old else {}), **({"after": new[:200]} if new else {})}
            )

    def lost_more(self, path: str, fate: Fate, reason: str, count: int) -> None:
        """Count further losses at a path that `lost` was called for, without listing them."""
        self._count(path, fate, "", reason, count)

    def _count(self, path: str, fate: Fate, to: str, reason: str, count: int) -> dict[str, Any]:
        item = self._items.get((path, fate, to, reason))
        if item is None:
            item = {"path": path, "fate": fate, "count": 0}
            if to:
                item["to"] = to
            if reason:
                item["reason"] = reason
            self._items[path, fate, to, reason] = item
        item["count"] += count
        return item

    @property
    def losses(self) -> list[dict[str, Any]]:
        """The items that lost something."""
        return [item for item in self._items.values() if item["fate"] in LOSSES]

    def items(self) -> list[dict[str, Any]]:
        """All items, losses first, each group in order of first appearance, members in their order."""
        order = ("path", "fate", "count", "to", "code", "reason", "instances")
        rest = [item for item in self._items.values() if item["fate"] not in LOSSES]
        return [{key: item[key] for key in order if key in item} for item in self.losses + rest]


@dataclass(frozen=True)
class Notice:
    """Something a person should know that is not a loss: where first, how often, what to do about it."""

    code: str
    where: str
    message: str
    remedy: str
    count: int = 1


@dataclass(frozen=True)
class ForeignFile:
    """What a writer made: `data` is the file, `loss` the loss report as a document value."""

    data: bytes
    loss: dict[str, Any]


@dataclass(frozen=True)
class SourceInfo:
    """What a converter read: format by name, digest and size of the bytes."""

    file_format: str
    sha256: str
    size_bytes: int


def source_info(file_format: str, data: bytes) -> SourceInfo:
    """Return digest and size of the bytes of a source."""
    return SourceInfo(file_format, hashlib.sha256(data).hexdigest(), len(data))


def loss_report(
    source: SourceInfo, account: Account, *, target_format: str, documents: int, readings: int
) -> dict[str, Any]:
    """Return the loss report of one conversion as a document value."""
    items = account.items()
    return {
        "format": FORMAT_NAME,
        "version": FIRST_VERSION,
        "kind": "loss-report",
        "source": {
            "file_format": source.file_format,
            "sha256": source.sha256,
            "size_bytes": source.size_bytes,
        },
        "target_format": target_format,
        "lossless": not account.losses,
        "documents": documents,
        "readings": readings,
        **({"items": items} if items else {}),
    }


def case_id(source_sha256: str, *parts: str) -> str:
    """Return a `urn:uuid:` that follows from the digest of the source and parts: a second run gives the same.

    UUID version 8 (RFC 9562) over SHA-256. Parts are length-prefixed: no two lists of parts look alike.
    """
    text = "".join(f"{len(part)}:{part}" for part in (source_sha256, *parts))
    raw = bytearray(hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()[:16])
    raw[6] = (raw[6] & 0x0F) | 0x80
    raw[8] = (raw[8] & 0x3F) | 0x80
    return uuid.UUID(bytes=bytes(raw)).urn


def numbered(word: str) -> Iterator[str]:
    """Yield `word-1`, `word-2` and so on: entry ids by position."""
    number = 0
    while True:
        number += 1
        yield f"{word}-{number}"
