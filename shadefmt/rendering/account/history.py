"""Where a case is from: who added what with which program, what travels with it, what was withdrawn."""

from typing import Final, NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.judging import Attachment
from shadefmt.model.relating import Event
from shadefmt.rendering.account.names import entry_name, party_name, specimen_name
from shadefmt.rendering.dates import date_words, time_words
from shadefmt.rendering.figures import listed
from shadefmt.rendering.visible import flowing, visible
from shadefmt.rendering.words import PARTIES, PERSONS
from shadefmt.rendering.work_words import (
    ACTIONS,
    CONSENT,
    DATES,
    EVENTS,
    PRIVACY,
    PROCESSING,
    SHOWS,
    STATES,
    USES,
    WITHDRAWALS,
)

CAUTIONS: Final = (
    "The record informs licensed professionals; it is not a medical device and gives no advice.",
    "Makers' instructions, infection control and local rules come first.",
    "An outcome is about a limit, most of which were found outside the mouth. It says nothing about shape, surface, "
    "translucency or other light, and alone it is no reason to remake or remove anything.",
    "Colours on a screen or on paper are no reference.",
)


class Added(NamedTuple):
    """One revision in words."""

    who: str
    when: str
    program: str
    note: str


class Held(NamedTuple):
    """A document or file that the case pins: what it is, its name, and the first digits of its digest."""

    what: str
    name: str
    digest: str


def revisions(view: CaseView) -> list[Added]:
    """Return who added to the case, when and with which program."""
    return [
        Added(
            party_name(view, each.party_id) or "not stated by whom",
            time_words(each.at),
            f"{flowing(each.producer.name)} {flowing(each.producer.version)}" if each.producer is not None else "",
            flowing(each.note) if each.note is not None else "",
        )
        for each in view.case.revisions or ()
    ]


def parties(view: CaseView) -> list[str]:
    """Return the parties by code with what they do."""
    return [f"{party_name(view, each.id)} ({PARTIES[each.role]})" for each in view.case.parties or ()]


def held(view: CaseView) -> list[Held]:
    """Return the reference sets and tolerances that are copied into the case, and the files that travel with it."""
    found = []
    for embedded in view.case.reference_sets or ():
        pin = embedded.document
        title = flowing(embedded.title) + (", part of the set" if embedded.extract else "")
        found.append(Held("reference set", title, pin.sha256[:12] if pin is not None else ""))
    for tolerance in view.case.tolerances or ():
        pin = tolerance.document
        title = flowing(tolerance.title) if tolerance.title is not None else visible(tolerance.id)
        found.append(Held("tolerance", title, pin.sha256[:12] if pin is not None else ""))
    return found + [Held("file", _file(each), each.sha256[:12]) for each in view.case.attachments or ()]


def _file(attachment: Attachment) -> str:
    parts = [visible(attachment.path)]
    if attachment.use is not None:
        parts.append(f"for {listed([USES[each] for each in attachment.use])}")
    if attachment.shows is not None:
        parts.append(f"shows {listed([SHOWS[each] for each in attachment.shows])}")
    if attachment.processing is not None:
        parts.append(PROCESSING[attachment.processing])
    if attachment.consent is not None:
        parts.append(CONSENT[attachment.consent])
    return ", ".join(parts)


def events(view: CaseView) -> list[str]:
    """Return what happened, in the order of the file."""
    return [event_words(view, each) for each in view.case.events or () if each.id not in view.withdrawn]


def event_words(view: CaseView, event: Event) -> str:
    """Return one event as a sentence: what, of what, when, by whom in which role, in which state and light."""
    parts = [f"{EVENTS[event.kind]} on {time_words(event.at)}"]
    if event.specimen_ids is not None:
        parts.append(listed([specimen_name(view, each) for each in event.specimen_ids]))
    if event.by_role is not None:
        parts.append(f"by {PERSONS[event.by_role]}")
    where = party_name(view, event.party_id)
    if where is not None:
        parts.append(f"at {where}")
    if event.state is not None:
        parts.append(f"work {STATES[event.state]}")
    if event.light is not None:
        parts.append(f"light: {flowing(event.light)}")
    return ", ".join(parts) + (f": {flowing(event.note)}" if event.note is not None else "")


def withdrawals(view: CaseView) -> list[str]:
    """Return what no longer counts and why."""
    found = []
    for each in view.case.withdrawals or ():
        words = f"{entry_name(view, each.entry_id)}: {WITHDRAWALS[each.reason]}"
        if each.replaced_by_id is not None:
            words += f", replaced by {entry_name(view, each.replaced_by_id)}"
        found.append(words + (f" ({flowing(each.note)})" if each.note is not None else ""))
    return found


def dispositions(view: CaseView) -> list[str]:
    """Return what parties did with the work."""
    found = []
    for each in view.case.dispositions or ():
        if each.id not in view.withdrawn:
            by = party_name(view, each.party_id)
            words = f"{specimen_name(view, each.specimen_id)} {ACTIONS[each.action]}" + (f" by {by}" if by else "")
            found.append(words + (f": {flowing(each.note)}" if each.note is not None else ""))
    return found


def privacy(view: CaseView) -> list[str]:
    """Return what was done so that nobody is named, in sentences."""
    block = view.case.privacy
    if block is None:
        return []
    kept = [f"The record is to be kept until {date_words(block.keep_until)}."] if block.keep_until is not None else []
    return [PRIVACY[block.status], DATES[block.dates], *kept]
