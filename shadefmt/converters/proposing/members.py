"""Which columns hold what is not measured: tooth, zone, time, remark and so on."""

import re
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import Final, get_args

from shadefmt.converters.proposing.draft import Draft
from shadefmt.converters.proposing.words import CASES, CELLS, DERIVED, PERSONS, meaning
from shadefmt.converters.table.members import member_of
from shadefmt.errors import Refused
from shadefmt.teeth import iso_of
from shadefmt.vocabulary import DateOrder, SpecimenKind, Sureness, TableMember, ToothNotation, Zone

_ISO_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[T ].*)?")
_DATE: Final = re.compile(r"([0-9]{1,4})([-./])[ ]?([0-9]{1,2})\2[ ]?([0-9]{1,4})(?:[T ,].*)?")
_TIME: Final = re.compile(
    r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]+)?)?(?: ?[AaPp]\.?[Mm]\.?)?(?: ?(?:Z|[+-][0-9:]+))?"
)
_REPEATING: Final = frozenset({"specimen.tooth", "specimen.kind", "reading.zone"})
_FREE: Final = frozenset({"reading.note", "subject.pseudonym"})


def find_members(draft: Draft) -> None:
    """Draft the columns that are no numbers of a colour, then ask for what every reading needs."""
    taken: set[str] = set()
    for index in draft.left:
        member = _member_of(draft, index)
        if member is None or (member in taken and not _is_time_beside(draft, index, member)):
            _leave(draft, index)
            continue
        taken.add(member)
        _enter(draft, index, member)
    grouped = all("constants" in group for group in draft.groups) and bool(draft.groups)
    if "reading.zone" not in taken and not grouped:
        draft.ask("/constants", "Which zone was read? Give reading.zone as a constant or a column.", get_args(Zone))
    if "specimen.kind" not in taken:
        draft.ask("/constants", "What was read? Give specimen.kind as a constant or a column.", get_args(SpecimenKind))


def _member_of(draft: Draft, index: int) -> TableMember | None:
    """The member of a column, by header or, where that says nothing, by cells that are all known words."""
    found, look = draft.headings[index], draft.looks[index]
    if PERSONS & found.words or not look.texts:
        return None
    member = found.member
    if member == "reading.order" and not _counts(look.texts):
        return None
    if member in ("reading.at", "session.started") and not _is_moment(look.texts):
        return None
    if (
        member is not None
        and member in CELLS
        and not any(meaning(member, text) or text in member_of(member).words for text in look.distinct)
    ):
        member = None
    if member is None and not found.whole:
        return next(
            (
                each
                for each in get_args(TableMember)
                if each in CELLS
                and each.startswith(("reading.zone", "reading.column", "specimen.kind"))
                and all(meaning(each, text) for text in look.distinct)
            ),
            None,
        )
    return member


def is_iso_date(text: str) -> bool:
    """Whether a text is a date, or date and time, as in ISO 8601."""
    return bool(_ISO_DATE.fullmatch(text))


def _counts(texts: Sequence[str]) -> bool:
    """Whether texts are whole numbers from one on, each larger than the one before."""
    if not all(text.isascii() and text.isdigit() and 0 < int(text) < 10**9 for text in texts):
        return False
    return all(int(low) < int(high) for low, high in pairwise(texts))


def _is_moment(texts: Sequence[str]) -> bool:
    return all(_ISO_DATE.fullmatch(text) or _DATE.fullmatch(text) or _TIME.fullmatch(text) for text in texts)


def _is_time_beside(draft: Draft, index: int, member: str) -> bool:
    """Whether a column holds the time of day, and one before it the date."""
    mapped = [column for column in draft.columns if column["member"] == member]
    alone = all(_TIME.fullmatch(text) for text in draft.looks[index].texts)
    if member != "reading.at" or len(mapped) != 1 or not alone or mapped[0].get("time_part"):
        return False
    mapped[0]["time_part"] = "date"
    return True


def _enter(draft: Draft, index: int, member: TableMember) -> None:
    look, found = draft.looks[index], draft.headings[index]
    place = draft.add(index, member)
    column = draft.columns[-1]
    match member_of(member).sort:
        case "tooth":
            _note_notation(draft, index)
        case "time":
            if all(_TIME.fullmatch(text) for text in look.texts):
                column["time_part"] = "time"
            else:
                _note_date_order(draft, place, look.distinct)
        case "word":
            _note_vocabulary(draft, place, member, look.distinct)
    if look.blank and member in _REPEATING:
        question = f"{look.blank} cells of {member} are blank: do they mean what stands above them?"
        draft.ask(f"{place}/blank_repeats", question, ("true", "false"))
    reason = (
        "The header is a word for it"
        if found.member == member and found.whole
        else "The header holds a word for it"
        if found.member == member
        else "The header says nothing of it, but every cell is a word of it"
    )
    sureness: Sureness = "certain" if found.member == member and found.whole else "likely"
    draft.say(index, sureness, f"{reason}.", member=member, seen=member not in _FREE)


def _note_notation(draft: Draft, index: int) -> None:
    """State the notation of teeth where the header says it or one alone fits; ask otherwise."""
    if "fdi" in draft.headings[index].words or {"iso", "3950"} <= draft.headings[index].words:
        draft.members["tooth_notation"] = "iso-3950"
        return
    fits = [notation for notation in get_args(ToothNotation) if _all_teeth(draft.looks[index].distinct, notation)]
    if len(fits) == 1:
        draft.members["tooth_notation"] = fits[0]
        return
    shown = ", ".join(draft.looks[index].distinct[:8])
    said = "More than one fits" if fits else "None fits all"
    draft.ask("/tooth_notation", f"Which notation do the teeth have? {said}: {shown}", fits or get_args(ToothNotation))


def _all_teeth(texts: Sequence[str], notation: ToothNotation) -> bool:
    try:
        for text in texts:
            iso_of(text, notation)
    except Refused:
        return False
    return True


def _note_date_order(draft: Draft, place: str, texts: Sequence[str]) -> None:
    """State the order of the parts of dates where the days show it; ask where two orders fit."""
    if all(_ISO_DATE.fullmatch(text) for text in texts):
        return
    fits = [order for order in get_args(DateOrder) if all(_is_day(text, order) for text in texts)]
    if len(fits) == 1:
        draft.columns[-1]["date_order"] = fits[0]
        return
    said = "More than one fits" if fits else "None fits all"
    draft.ask(f"{place}/date_order", f"In which order are dates written? {said}: {texts[0][:40]}", fits)


def _is_day(text: str, order: str) -> bool:
    found = _DATE.fullmatch(text)
    if found is None:
        return False
    first, _, middle, last = found.groups()
    year, month, day = {
        "day-month-year": (last, middle, first),
        "month-day-year": (last, first, middle),
    }.get(order, (first, middle, last))
    try:
        return len(year) == 4 and bool(date(int(year), int(month), int(day)))
    except ValueError:
        return False


def _note_vocabulary(draft: Draft, place: str, member: str, texts: Sequence[str]) -> None:
    """Say what the texts of a column mean; ask for those that no dictionary word is."""
    own = member_of(member).words
    words = [{"text": text, "value": value} for text in texts if text not in own and (value := meaning(member, text))]
    if words:
        draft.columns[-1]["vocabulary"] = words
    unknown = [text for text in texts if text not in own and not meaning(member, text)]
    if unknown:
        shown = ", ".join(map(repr, (text[:40] for text in unknown[:12])))
        draft.ask(f"{place}/vocabulary", f"What do these texts of {member} mean: {shown}?", own)


def _leave(draft: Draft, index: int) -> None:
    """Say why nothing was made of a column, and ask where that may matter."""
    look, found = draft.looks[index], draft.headings[index]
    if not look.texts:
        draft.say(index, "certain", "Every cell is blank.")
        return
    if look.numeric and found.words and found.words <= DERIVED:
        draft.ignored.append({**draft.choice(index), "reason": "follows from the coordinates"})
        draft.say(index, "likely", "The header names what follows from coordinates; it is computed anew.")
        return
    label = f"{draft.headers[index]!r} (number {index + 1})"
    if PERSONS & found.words:
        draft.say(index, "possible", "The header may announce what names a person; no cell is shown.", seen=False)
        draft.ask(
            "/ignored", f"Does column {label} name persons? Leave it out, or map pseudonyms to subject.pseudonym."
        )
    elif CASES & found.words:
        draft.say(index, "possible", "The header may announce what tells cases apart.", seen=False)
        draft.ask("/case_key", f"Does column {label} tell cases apart? Then name it under case_key.")
    else:
        draft.say(index, "possible", "Neither header nor cells are recognised.", seen=look.numeric)
        draft.ask("/ignored", f"What is column {label}? Map it, or list it under ignored.")
