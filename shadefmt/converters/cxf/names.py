"""Names of CxF3: the namespace, and tables that find a name as written or as older files spell it.

The namespace URI decides, never the prefix. Names as in the public XML Schema of CxF3.
"""

from collections.abc import Mapping
from typing import Generic, TypeVar

NAMESPACE = "http://colorexchangeformat.com/CxF3-core"
QUALIFIED = "{" + NAMESPACE + "}"

T = TypeVar("T")


def split(tag: str) -> tuple[str, str]:
    """Return namespace ("" for none) and local name of a qualified name."""
    if tag.startswith("{"):
        namespace, _, local = tag[1:].partition("}")
        return namespace, local
    return "", tag


def shown(tag: str) -> str:
    """Return a name for a path: local in the namespace of CxF3, qualified outside it; cut to 80 characters."""
    namespace, local = split(tag)
    name = local if namespace in ("", NAMESPACE) else tag
    return name if len(name) <= 80 else name[:79] + "…"


def folded(local: str) -> str:
    """Return a name without case and with `colour` spelled `color`."""
    return local.casefold().replace("colour", "color")


class Elements(Generic[T]):
    """Known child elements of one place: `exact` by qualified name, others by `respelled`."""

    def __init__(self, known: Mapping[str, T]) -> None:
        self.exact = {QUALIFIED + local: item for local, item in known.items()}
        self._folded = _unambiguous(known)

    def respelled(self, tag: str) -> tuple[str, T] | None:
        """Return name and item of the known element that a name of the namespace spells differently."""
        namespace, local = split(tag)
        return self._folded.get(folded(local)) if namespace == NAMESPACE else None


class Attributes:
    """Known attributes of one element, each with the path that it is accounted under."""

    def __init__(self, path: str, known: tuple[str, ...]) -> None:
        self.path = path
        self.exact = {name: f"{path}/@{name}" for name in known}
        self._folded = _unambiguous({name: name for name in known})

    def respelled(self, name: str) -> str | None:
        """Return the known attribute that a name spells differently."""
        found = self._folded.get(folded(name))
        return found[0] if found else None


def _unambiguous(known: Mapping[str, T]) -> dict[str, tuple[str, T]]:
    """By folded name; names that fold to the same text are left out (`y` and `Y` are two things)."""
    times: dict[str, int] = {}
    for local in known:
        times[folded(local)] = times.get(folded(local), 0) + 1
    return {folded(local): (local, item) for local, item in known.items() if times[folded(local)] == 1}
