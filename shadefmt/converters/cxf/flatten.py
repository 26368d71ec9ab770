"""A small known subtree as texts by path: what has no member of its own goes into the extension this way."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from lxml import etree

from shadefmt.converters.cxf.ledger import Ledger, Paths
from shadefmt.converters.cxf.names import Attributes, Elements

MAX_TEXT = 4000
"""Longest text that is kept, in characters."""


@dataclass
class Texts:
    """`fields`: text by path below the element, a repeated path numbered from `[2]`; `paths`: all accounted for."""

    fields: dict[str, str] = field(default_factory=dict)
    paths: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Flattener:
    """Flattens elements whose names are all known; `omitted` are child elements dropped with a reason."""

    elements: Elements[str]
    attributes: tuple[str, ...]
    omitted: dict[str, tuple[str, str]] = field(default_factory=dict)

    def flatten(self, element: etree._Element, path: str, ledger: Ledger, where: str) -> Texts:
        """Return the texts of an element; unknown parts are accounted for as dropped, the rest is up to the caller.

        `path` is the element's own path in the account; the paths of the fields begin below it.
        """
        texts = Texts()
        self._walk(element, path, "", texts, ledger, where)
        return texts

    def _walk(self, element: etree._Element, path: str, below: str, texts: Texts, ledger: Ledger, where: str) -> None:
        self._take(element.text, path, below, texts, ledger, where)
        known = Attributes(path, self.attributes)
        noted: list[Paths] = []
        for name, value in ledger.attributes(element, known, where, noted).items():
            self._put(texts, f"{below}/@{name}" if below else f"@{name}", value)
        texts.paths += [path for paths in noted for path in paths]
        for child in element:
            ledger.stray(child.tail, path, where)
            self._child(child, path, below, texts, ledger, where)

    def _child(self, child: etree._Element, path: str, below: str, texts: Texts, ledger: Ledger, where: str) -> None:
        local = self.elements.exact.get(child.tag)
        if local is None:
            respelled = self.elements.respelled(child.tag)
            if respelled is None:
                ledger.drop_unknown(child, path, where)
                return
            local = respelled[0]
            ledger.respelling(child.tag, local, where)
        if local in self.omitted:
            code, reason = self.omitted[local]
            ledger.drop_tree(child, f"{path}/{local}", code, reason, where, silent=True)
            return
        self._walk(child, f"{path}/{local}", f"{below}/{local}" if below else local, texts, ledger, where)

    def _take(self, text: str | None, path: str, below: str, texts: Texts, ledger: Ledger, where: str) -> None:
        """Note an element and its text, or drop it where that is too long."""
        text = " ".join(text.split()) if text else ""
        if len(text) > MAX_TEXT:
            reason = f"longer than {MAX_TEXT} characters"
            ledger.dropped(path, "text-too-long", reason, where=where, old=text)
            return
        texts.paths.append(path)
        self._put(texts, below or "text()", text)

    def _put(self, texts: Texts, name: str, text: str) -> None:
        if not text:
            return
        key, number = name, 1
        while key in texts.fields:
            number += 1
            key = f"{name}[{number}]"
        texts.fields[key] = text


def named(names: Iterable[str]) -> Elements[str]:
    """Return a table of names that are known wherever they stand."""
    return Elements({name: name for name in names})
