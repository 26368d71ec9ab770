"""The account of a CxF3 file: every element and attribute is counted once, under what became of it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lxml import etree

from shadefmt.converters.base import MAX_INSTANCES, Account, Notice
from shadefmt.converters.cxf.names import Attributes, shown, split
from shadefmt.converters.numerals import short
from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS
from shadefmt.vocabulary import Fate

EXTENSION = "org.shadefmt.cxf"
"""Extension of the case that holds what has no member."""

ASIDE = f"/extensions/{EXTENSION}"
Paths = tuple[str, ...]
MAX_PATHS = 400
MAX_PATH = 200

_OF_XML = ("http://www.w3.org/2001/XMLSchema-instance", "http://www.w3.org/XML/1998/namespace")
_BELOW_TOO_MANY = "(further paths)"


class Ledger:
    """Collects what is kept, lost and worth saying while a file is read.

    `seen` and `aside` take paths of elements and attributes, in tuples of any length, as they are read: into
    members, into the extension.
    """

    def __init__(self, account: Account, targets: Mapping[str, str]) -> None:
        self.account = account
        self.seen: list[Paths] = []
        self.aside: list[Paths] = []
        self._ordinary: dict[tuple[object, ...], Paths] = {}
        self._targets = targets
        self._seen: Counter[Paths] = Counter()
        self._aside: Counter[Paths] = Counter()
        self._moved: Counter[str] = Counter()
        self.said = 0
        self._notices: dict[tuple[str, str], Notice] = {}
        self._lost_paths: set[str] = set()
        self._assumed: dict[tuple[str, str], int] = {}

    def flush(self) -> None:
        """Count what was noted since the last time; called now and then so that the lists stay short."""
        self._seen.update(self.seen)
        self._aside.update(self.aside)
        self.seen.clear()
        self.aside.clear()

    def close(self) -> list[Notice]:
        """Hand the counts to the account and return the notices in order of first appearance."""
        self.flush()
        for paths, count in self._seen.items():
            for path in paths:
                moved = min(self._moved[path], count)
                self._moved[path] -= moved
                if moved < count:
                    self.account.kept(path, self._targets.get(path, ""), count - moved)
        for paths, count in self._aside.items():
            for path in paths:
                self.account.kept(path, ASIDE, count)
        for (_, reason), count in self._assumed.items():
            if count > MAX_INSTANCES and not self.account.full:
                self.account.lost_more("Object", "defaulted", reason, count - MAX_INSTANCES)
        return list(self._notices.values())

    def notice(self, code: str, where: str, message: str, remedy: str) -> None:
        """Record a notice; the same code and message again only counts."""
        self.said += 1
        known = self._notices.get((code, message))
        if known is None:
            known = Notice(code, where[:200], _sentence(message), _sentence(remedy), 0)
        self._notices[code, message] = replace(known, count=known.count + 1)

    def lost(self, path: str, fate: Fate, code: str, reason: str, *, where: str, old: str = "", new: str = "") -> None:
        """Record a loss. Paths beyond the first few hundred are counted together."""
        if path not in self._lost_paths:
            if len(self._lost_paths) >= MAX_PATHS:
                path = _BELOW_TOO_MANY
            self._lost_paths.add(path)
        self.account.lost(_cut(path), fate, code, reason, where=where[:200], old=old, new=new)

    def cut(self, path: str, texts: Mapping[int, str], values: Sequence[float], where: str) -> None:
        """Record each number of an element that lost digits, by its place; the element itself is kept."""
        reason = f"a block of numbers can state {MAX_DECIMALS} decimals at most"
        for place, old in texts.items():
            new = short(values[place])
            self.lost(f"{path}/text()", "rounded", "decimals-cut", reason, where=where, old=old, new=new)

    def assumed(self, code: str, reason: str, where: str, new: str) -> None:
        """Record that a member was filled with what an object does not say; cheap for thousands of objects."""
        count = self._assumed[code, reason] = self._assumed.get((code, reason), 0) + 1
        if count <= MAX_INSTANCES or self.account.full:
            self.account.lost("Object", "defaulted", code, reason, where=where[:200], new=new)

    def moved_aside(self, path: str) -> None:
        """Record that something noted as seen went aside after all."""
        self._moved[path] += 1
        self.aside.append((path,))

    def dropped(self, path: str, code: str, reason: str, *, where: str, old: str = "") -> None:
        """Record something that is not carried over."""
        self.lost(path, "dropped", code, reason, where=where, old=old)

    def drop_tree(
        self, element: etree._Element, path: str, code: str, reason: str, where: str, *, silent: bool = False
    ) -> None:
        """Record an element with all it holds as dropped; `silent` keeps what it says out of the report as well."""
        self.drop_shell(element, path, code, reason, where, silent=silent)
        for child in element:
            self.drop_tree(child, f"{path}/{shown(child.tag)}", code, reason, where, silent=silent)

    def drop_shell(
        self, element: etree._Element, path: str, code: str, reason: str, where: str, *, silent: bool = False
    ) -> None:
        """Record an element and its attributes, not what is inside, as dropped."""
        self.dropped(path, code, reason, where=where, old="" if silent else (element.text or "").strip())
        for name, value in items_of(element):
            self.dropped(f"{path}/@{shown(name)}", code, reason, where=where, old="" if silent else value)

    def drop_unknown(self, element: etree._Element, parent: str, where: str) -> None:
        """Record an element that CxF3 does not know at its place."""
        path = f"{parent}/{shown(element.tag)}"
        self.drop_tree(element, path, "unknown-element", "CxF3 has no such element here", where)

    def stray(self, text: str | None, path: str, where: str) -> None:
        """Record text that stands between elements, where CxF3 has none."""
        if text and not text.isspace():
            reason = "text where CxF3 has only elements"
            self.dropped(f"{path}/text()", "stray-text", reason, where=where, old=text.strip())

    def strays(self, texts: list[str | None], path: str, where: str) -> None:
        """Record the same of all texts between the children of one element."""
        for text in texts:
            if text and not text.isspace():
                self.stray(text, path, where)

    def attributes(self, element: etree._Element, known: Attributes, where: str, paths: list[Paths]) -> dict[str, str]:
        """Return the known attributes of an element, their paths added to `paths`; account for the others."""
        written: dict[str, str] = dict(element.items())  # type: ignore[arg-type]  # the stubs allow for bytes
        key = (known, *written)
        ordinary = self._ordinary.get(key)
        if ordinary is not None:
            paths.append(ordinary)
            return written
        found: dict[str, str] = {}
        for name, value in written.items():
            if name in known.exact and name not in found:
                found[name] = value
            else:
                self._other_attribute(found, known, name, value, where)
        noted = tuple(known.exact[name] for name in found)
        if found.keys() == written.keys():
            self._ordinary[key] = noted
        paths.append(noted)
        return found

    def _other_attribute(
        self,
        found: dict[str, str],
        known: Attributes,
        name: str,
        value: str,
        where: str,
    ) -> None:
        meant = name if name in known.exact else known.respelled(name)
        if meant is None:
            code, reason = "unknown-attribute", "CxF3 has no such attribute here"
            if split(name)[0] in _OF_XML:
                code, reason = "xml-attribute", "belongs to XML and XML Schema, not to the data"
            self.dropped(f"{known.path}/@{shown(name)}", code, reason, where=where, old=value)
            return
        if meant in found:
            raise Refused(f"the attribute {meant} is there twice, in two spellings", where=where)
        found[meant] = value
        self.respelling(name, meant, where)

    def respelling(self, name: str, meant: str, where: str) -> None:
        """Say that a name was read although it is spelled otherwise than in CxF3."""
        self.notice(
            "other-spelling",
            where,
            f"the name {shown(name)} was read as {meant}",
            "nothing to do if that is what was meant; newer software writes the name of the standard",
        )


def items_of(element: etree._Element) -> list[tuple[str, str]]:
    """Return the attributes of an element, names qualified where they have a namespace."""
    return element.items()  # type: ignore[return-value]  # the stubs allow for bytes, lxml returns text


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _cut(path: str) -> str:
    return path if len(path) <= MAX_PATH else "…" + path[-(MAX_PATH - 1) :]
