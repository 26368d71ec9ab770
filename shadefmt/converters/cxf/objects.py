"""`Object`: one thing with its measurements, read into a record; linking to specifications comes later."""

from collections.abc import Callable
from functools import partial

from lxml import etree

from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.flatten import MAX_TEXT, Flattener, named
from shadefmt.converters.cxf.leaves import leaf_text
from shadefmt.converters.cxf.ledger import Ledger, Paths
from shadefmt.converters.cxf.names import Attributes, Elements
from shadefmt.converters.cxf.options import Options, member_value
from shadefmt.converters.cxf.parts import ObjectRecord
from shadefmt.converters.cxf.specifications import IMAGES, PHYSICAL
from shadefmt.converters.cxf.values import ValueReader
from shadefmt.errors import Refused

PATH = "Object"

Handler = Callable[[etree._Element, ObjectRecord], None]

_OBJECT = Attributes(PATH, ("Id", "Name", "ObjectType", "GUID"))
_COLLECTION = Attributes(f"{PATH}/TagCollection", ("Name",))
_TAG = Attributes(f"{PATH}/TagCollection/Tag", ("Name", "Value"))
_TAGS = Elements({"Tag": None})
_COLOUR_VALUES = Attributes(f"{PATH}/ColorValues", ())
_NO_ATTRIBUTES = {name: Attributes(f"{PATH}/{name}", ()) for name in ("CreationDate", "Comment")}
_PHYSICAL = Flattener(named(PHYSICAL), ("Units", "Method", "Label", "OtherType", "ImageFileName"), IMAGES)
_LEFT_OUT = {
    "DeviceColorValues": ("device-colours", "device and recipe colours have no place in a case"),
    "ColorDifferenceValues": ("stated-differences", "differences are computed anew from the colours"),
}


class ObjectReader:
    """Reads `Object` elements into records."""

    def __init__(self, ledger: Ledger, options: Options) -> None:
        self._ledger = ledger
        self._mapped = options.by_tag()
        self._own = options.own_tags
        self._values = ValueReader(ledger, options)
        known: dict[str, Handler] = {
            "CreationDate": self._created,
            "Comment": self._comment,
            "ColorValues": self._colour_values,
            "TagCollection": self._tags,
            "PhysicalAttributes": self._physical,
            **{name: partial(self._left_out, name=name) for name in _LEFT_OUT},
        }
        self._children = Elements(known)

    def read(self, element: etree._Element) -> ObjectRecord:
        """Return the record of one object.

        Raises:
            Refused: numbers that are not numbers, or a mapped tag that is not a word of the vocabulary.
        """
        where = f"line {element.sourceline}, Object {(element.get('Id') or '?')[:60]}"
        ledger = self._ledger
        record = ObjectRecord(where, ledger.attributes(element, _OBJECT, where, ledger.aside))
        ledger.seen.append((PATH,))
        exact = self._children.exact
        between = element.text
        if between and not between.isspace():
            ledger.stray(between, PATH, where)
        for child in element:
            handler = exact.get(child.tag)
            if handler is not None:
                handler(child, record)
            else:
                self._other(child, record)
            between = child.tail
            if between and not between.isspace():
                ledger.stray(between, PATH, where)
        return record

    def _other(self, child: etree._Element, record: ObjectRecord) -> None:
        respelled = self._children.respelled(child.tag)
        if respelled is None:
            self._ledger.drop_unknown(child, PATH, record.where)
            return
        local, handler = respelled
        self._ledger.respelling(child.tag, local, record.where)
        handler(child, record)

    def _created(self, element: etree._Element, record: ObjectRecord) -> None:
        if record.created:
            self._repeated(element, f"{PATH}/CreationDate", record)
            return
        record.created = self._leaf(element, "CreationDate", record)
        if not record.created:
            self._ledger.seen.append((f"{PATH}/CreationDate",))

    def _comment(self, element: etree._Element, record: ObjectRecord) -> None:
        path = f"{PATH}/Comment"
        if record.comment:
            self._repeated(element, path, record)
        elif len(element.text or "") > MAX_TEXT:
            reason = f"longer than {MAX_TEXT} characters"
            self._ledger.drop_tree(element, path, "text-too-long", reason, record.where)
        else:
            record.comment = self._leaf(element, "Comment", record)
            self._ledger.aside.append((path,))

    def _repeated(self, element: etree._Element, path: str, record: ObjectRecord) -> None:
        self._ledger.drop_tree(element, path, "repeated", "there once already in this object", record.where)

    def _leaf(self, element: etree._Element, name: str, record: ObjectRecord) -> str:
        if element.keys():
            self._ledger.attributes(element, _NO_ATTRIBUTES[name], record.where, self._ledger.seen)
        if len(element):
            return leaf_text(element, f"{PATH}/{name}", self._ledger, record.where).strip()
        return (element.text or "").strip()

    def _colour_values(self, element: etree._Element, record: ObjectRecord) -> None:
        ledger, path = self._ledger, _COLOUR_VALUES.path
        ledger.seen.append((path,))
        if element.keys():
            ledger.attributes(element, _COLOUR_VALUES, record.where, ledger.seen)
        known = self._values.known
        between = element.text
        if between and not between.isspace():
            ledger.stray(between, path, record.where)
        for child in element:
            found = known.get(child.tag)
            if found is None:
                self._values.read_other(child, record)
            else:
                read, kind = found
                read(child, record, kind)
            between = child.tail
            if between and not between.isspace():
                ledger.stray(between, path, record.where)

    def _tags(self, element: etree._Element, record: ObjectRecord) -> None:
        ledger, where = self._ledger, record.where
        collection = ledger.attributes(element, _COLLECTION, where, ledger.seen).get("Name", "")
        ledger.seen.append((_COLLECTION.path,))
        texts = [element.text]
        for child in element:
            if child.tag in _TAGS.exact or _TAGS.respelled(child.tag):
                self._tag(child, collection, record)
            else:
                ledger.drop_unknown(child, _COLLECTION.path, where)
            texts.append(child.tail)
        ledger.strays(texts, _COLLECTION.path, where)

    def _tag(self, element: etree._Element, collection: str, record: ObjectRecord) -> None:
        ledger, where = self._ledger, record.where
        paths: list[Paths] = [(_TAG.path,)]
        written = ledger.attributes(element, _TAG, where, paths)
        name, value = written.get("Name", ""), written.get("Value", "")
        if self._own and collection == own.COLLECTION and own.is_known(name):
            self._own_tag(name, value, record)
            ledger.seen += paths
        elif (member := self._mapped.get(name)) is not None and value.strip():
            self._member(member, value, name, record)
            ledger.seen += paths
        else:
            ledger.aside += paths
            record.tags.append((collection, name, value))
        if len(element) or element.text:
            ledger.stray(leaf_text(element, _TAG.path, ledger, where), _TAG.path, where)

    def _own_tag(self, name: str, value: str, record: ObjectRecord) -> None:
        if record.own.setdefault(name, value) != value:
            raise Refused(f"the tag {name} is there twice and says two things", where=record.where)

    def _member(self, member: str, text: str, tag: str, record: ObjectRecord) -> None:
        value = member_value(member, text, tag, record.where)
        if record.members.setdefault(member, value) != value:
            raise Refused(f"the tag {tag} is there twice and says two things", where=record.where)

    def _physical(self, element: etree._Element, record: ObjectRecord) -> None:
        path = f"{PATH}/PhysicalAttributes"
        texts = _PHYSICAL.flatten(element, path, self._ledger, record.where)
        self._ledger.aside.append(tuple(texts.paths))
        record.other |= {f"PhysicalAttributes/{name}": text for name, text in texts.fields.items()}

    def _left_out(self, element: etree._Element, record: ObjectRecord, name: str) -> None:
        code, reason = _LEFT_OUT[name]
        self._ledger.drop_tree(element, f"{PATH}/{name}", code, reason, record.where)
