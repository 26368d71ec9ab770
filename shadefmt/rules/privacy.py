"""Rules on what could lead back to a person. They find shapes, not names, and prove nothing."""

import re
import unicodedata
from collections.abc import Iterator
from typing import Final

from shadefmt.model.case import Case
from shadefmt.rules.base import FREE_TEXT, TIMESTAMP_MEMBERS, Hit, Matter, Rule, is_plain

CONTACT: Final = {
    "mail address": re.compile(r"[A-Za-z0-9._%+-]+@[A-Za-z0-9-]+\.[A-Za-z]"),
    "web address": re.compile(r"\bhttps?://", re.IGNORECASE),
    "telephone number": re.compile(r"(?<![0-9.:])(?:\+|00)[0-9][0-9 ()/-]{6,17}[0-9](?![0-9.:])"),
    "date of birth": re.compile(r"\b(?:born|birth|geb|née?|dob|nacid[oa])\b[^0-9]{0,12}[0-9]", re.IGNORECASE),
}
"""Shapes of contact details in free text."""

CONTACT_OF_SOURCE: Final = {what: shape for what, shape in CONTACT.items() if what != "web address"}
"""The same in the source of something published, which has an address of its own."""

SHAPING: Final = "\n\t\u200c\u200d"
"""Characters of those categories that texts need: line ends, tabs, and the joiners of several scripts."""

_LIKE_A_DATE: Final = re.compile(r"(?:19|20)[0-9]{2}[-./]?[0-9]{2}[-./]?[0-9]{2}|[0-9]{2}[-./][0-9]{2}[-./][0-9]{4}")
_UUID: Final = re.compile(r"(?:urn:uuid:)?[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}", re.IGNORECASE)
_UUID_BY_TIME: Final = re.compile(r"urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[126][0-9a-f]{3}-", re.IGNORECASE)
_SERIAL: Final = re.compile(r"(?=(?:.*[0-9]){5})[A-Za-z]{0,4}[-_]?[0-9][0-9A-Za-z-]{4,}")


def subject_looks_like_record_number(matter: Matter) -> Iterator[Hit]:
    """A pseudonym looks like a record number or a date, which can be guessed back."""
    subject = matter.view.case.subject
    if subject is not None:
        if _UUID.fullmatch(subject.pseudonym):
            return
        digits = re.fullmatch(r"[0-9]{1,10}", subject.pseudonym)
        if digits or _LIKE_A_DATE.search(subject.pseudonym):
            yield Hit("/subject/pseudonym", {"looks_like": "record number" if digits else "date"})


def text_holds_contact_detail(matter: Matter) -> Iterator[Hit]:
    """A free text holds something of the shape of a contact detail or a date of birth."""
    for place in matter.texts:
        if place.member in FREE_TEXT:
            shapes = CONTACT if place.member != "source" else CONTACT_OF_SOURCE
            what = next((what for what, shape in shapes.items() if shape.search(place.text)), None)
            if what is not None:
                yield Hit(place.pointer, {"what": what, "member": place.member})


def text_holds_hidden_characters(matter: Matter) -> Iterator[Hit]:
    """A text holds control characters, or ones that turn or hide what is read."""
    for place in matter.texts:
        if is_plain(place.text):
            continue
        hidden = [each for each in place.text if unicodedata.category(each) in ("Cc", "Cf") and each not in SHAPING]
        if hidden:
            codes = list(dict.fromkeys(f"U+{ord(each):04X}" for each in hidden))
            yield Hit(place.pointer, {"characters": codes[:5], "member": place.member})


def instrument_serial_exposed(matter: Matter) -> Iterator[Hit]:
    """An instrument's id looks like a serial number."""
    for index, instrument in enumerate(matter.view.case.instruments or ()):
        if _SERIAL.fullmatch(instrument.id) and not _UUID.fullmatch(instrument.id):
            yield Hit(f"/instruments/{index}/id", {"id": instrument.id}, instrument.id)


def privacy_unstated(matter: Matter) -> Iterator[Hit]:
    """A case about a person does not say how far it was de-identified."""
    case = matter.view.case
    if case.subject is not None and case.privacy is None:
        yield Hit("", {})


def dates_finer_than_stated(matter: Matter) -> Iterator[Hit]:
    """The privacy block says that dates were coarsened, and a full date stands in the document."""
    case = matter.root
    assert isinstance(case, Case)
    if case.privacy is None or case.privacy.dates not in ("year", "removed"):
        return
    for place in matter.texts:
        if place.member in TIMESTAMP_MEMBERS:
            coarse = place.text == f"{place.text[:4]}-01-01"
            if case.privacy.dates == "removed" or not coarse:
                yield Hit(place.pointer, {"stated": place.text, "dates": case.privacy.dates})


def id_tells_time(matter: Matter) -> Iterator[Hit]:
    """The id of a document was made from a clock and a network card, which both tell something."""
    identity = str(matter.value.get("id", ""))
    if _UUID_BY_TIME.match(identity):
        yield Hit("/id", {"id": identity})


RULES: Final[dict[str, Rule]] = {
    "subject-looks-like-record-number": subject_looks_like_record_number,
    "text-holds-contact-detail": text_holds_contact_detail,
    "text-holds-hidden-characters": text_holds_hidden_characters,
    "instrument-serial-exposed": instrument_serial_exposed,
    "privacy-unstated": privacy_unstated,
    "dates-finer-than-stated": dates_finer_than_stated,
    "id-tells-time": id_tells_time,
}
