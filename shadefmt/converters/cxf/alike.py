"""Reads objects by template where a file writes thousands of them alike; the others are read carefully.

Both ways give the same record and the same account (a test compares them). A template steps back before it
has changed anything: the careful reader alone deals with what is unusual.
"""

from collections.abc import Callable
from typing import NamedTuple

from lxml import etree

from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.parts import ObjectRecord
from shadefmt.converters.cxf.templates import Grammar, Slot, Template, template_of

MAX_TEMPLATES = 6
"""Templates tried on one object; a file whose objects differ more than that is read carefully."""

TRIAL = 50
"""Objects after which templates are given up where fewer than half of the objects matched."""

Written = dict[str, str]


class Takers(NamedTuple):
    """What takes the values that a template finds; the same that the careful reader uses."""

    spectrum: Callable[[str, str, Written, ObjectRecord], None]
    colour: Callable[[str, list[str], Written, ObjectRecord], None]
    tag: Callable[[str, Written, ObjectRecord], None]


class AlikeReader:
    """Keeps the templates of one file."""

    def __init__(self, ledger: Ledger, grammar: Grammar, takers: Takers) -> None:
        self._ledger = ledger
        self._grammar = grammar
        self._takers = takers
        self._templates: list[Template] = []
        self._matched = 0
        self._tried = 0

    def read(self, element: etree._Element, where: str) -> ObjectRecord | None:
        """Return the record of an object that matches a template, else None.

        Raises:
            Refused: numbers that are not numbers, or a mapped tag that is not a word of the vocabulary.
        """
        if not self._templates:
            return None
        self._tried += 1
        text = etree.tostring(element, encoding="unicode", with_tail=False)
        for template in self._templates:
            found = template.match(text)
            if found is not None:
                self._matched += 1
                return self._filled(template, found.groups(), where)
        return None

    def learn(self, element: etree._Element) -> None:
        """Draw a template of an object that was read carefully and is not needed any more."""
        if len(self._templates) >= MAX_TEMPLATES or (self._tried > TRIAL and self._matched * 2 < self._tried):
            return
        template = template_of(element, self._grammar)
        if template is not None:
            self._templates.append(template)

    def _filled(self, template: Template, groups: tuple[str, ...], where: str) -> ObjectRecord | None:
        record = ObjectRecord(where, dict(zip(template.names, groups, strict=False)))
        if template.created is not None:
            record.created = groups[template.created].strip()
            if not record.created:
                return None
        for slot in template.lists:
            if len(groups[slot.texts[0]].split(None, 2)) < 2:
                return None
        for slot in template.lists:
            self._takers.spectrum(slot.tag, groups[slot.texts[0]], _written(slot, groups), record)
        for slot in template.colours:
            texts = [groups[each] for each in slot.texts]
            self._takers.colour(slot.tag, texts, _written(slot, groups), record)
        for slot in template.tags:
            collection = groups[slot.texts[0]] if slot.texts else ""
            self._takers.tag(collection, _written(slot, groups), record)
        self._ledger.note(template.paths, template.aside)
        return record


def _written(slot: Slot, groups: tuple[str, ...]) -> Written:
    names = slot.names
    return dict(zip(names, groups[slot.start : slot.start + len(names)], strict=True))
