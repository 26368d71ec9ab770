"""What things of a case are called in a sentence. Whatever is missing gets words as well; nothing here raises."""

from typing import Any, Final

from shadefmt.indexing import CaseView, Located
from shadefmt.model.context import Specimen
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Reading
from shadefmt.rendering.dates import span_words
from shadefmt.rendering.visible import flowing, visible
from shadefmt.rendering.words import AREAS, DECIDUOUS, PERMANENT, QUADRANTS, ZONES
from shadefmt.rendering.work_words import RESTORATIONS, SPECIMENS

ABSENT: Final = "something that the file does not hold"

READ_ON: Final = " read on "
"""What stands between the name of a colour's specimen and its day."""


def tooth_name(designation: str) -> str:
    """Return an ISO 3950 designation in words, such as `upper right central incisor`."""
    quadrant, position = designation[0], designation[1]
    if quadrant in "1234":
        return f"{QUADRANTS[quadrant]} {PERMANENT[position]}"
    return f"{QUADRANTS[quadrant]} deciduous {DECIDUOUS[position]}"


def case_name(view: CaseView) -> str:
    """Return the pseudonym of a case's subject, or the id of the case where there is none."""
    subject = view.case.subject
    return visible(subject.pseudonym if subject is not None else view.case.id)


def party_name(view: CaseView, party_id: str | None) -> str | None:
    """Return the code of a party, or its id; None where no party is named."""
    if party_id is None:
        return None
    party = view.find(party_id, "parties")
    return visible(party.code if party is not None and party.code is not None else party_id)


def specimen_name(view: CaseView, specimen_id: str | None) -> str:
    """Return a specimen in words, such as `crown 11` or `gingiva at 24`."""
    specimen: Specimen | None = view.find(specimen_id, "specimens")
    if specimen is None:
        return visible(specimen_id) if specimen_id else ABSENT
    noun = _noun(view, specimen)
    if specimen.tooth is None and specimen.area is not None:
        return f"{noun}, {AREAS[specimen.area]}"
    if specimen.tooth is None:
        alike = [each for each in view.case.specimens if each.kind == specimen.kind]
        return noun if len(alike) == 1 else f"{noun} {visible(specimen.id)}"
    if specimen.supernumerary:
        return f"extra {noun} beside {specimen.tooth}"
    joint = " at " if specimen.kind in ("gingiva", "denture-base") else " "
    return f"{noun}{joint}{specimen.tooth}"


def _noun(view: CaseView, specimen: Specimen) -> str:
    if specimen.kind == "restoration":
        for order in view.case.prescriptions or ():
            if order.specimen_id in (specimen.id, specimen.part_of_id) and order.id not in view.withdrawn:
                whole = RESTORATIONS[order.restoration]
                return whole if order.specimen_id == specimen.id else f"part of {whole}"
    return SPECIMENS[specimen.kind]


def zone_name(zone: str, column: str | None = None, region: str | None = None) -> str:
    """Return a zone in words, with its column or region where there is one."""
    words = ZONES[zone]
    if zone == "region" and region is not None:
        words = f"region: {flowing(region)}"
    return f"{words}, {column}" if column is not None else words


def reading_places(readings: list[Reading]) -> list[str]:
    """Return the zones of readings in words, each once, in the order of the vocabulary."""
    order = list(ZONES)
    places = sorted({(order.index(each.zone), each.column or "", each.region or "") for each in readings})
    return [zone_name(order[zone], column or None, region or None) for zone, column, region in places]


def read_on(view: CaseView, readings: list[Reading]) -> str:
    """Return when readings were taken, in words; empty where nothing says so."""
    return span_words([each for each in (moment_of(view, item) for item in readings) if each is not None])


def moment_of(view: CaseView, reading: Reading) -> str | None:
    """Return when a reading was taken, or when its session began."""
    if reading.at is not None:
        return reading.at
    session = view.session_of(reading)
    return session.started if session is not None else None


def colour_name(view: CaseView, located: Located | None) -> str:
    """Return what a colour is the colour of, such as `tooth 21 read on 4 March 2026`."""
    if located is None:
        return ABSENT
    if located.list_name == "references":
        return f"the reference {flowing(located.entry.label)}"
    if isinstance(located.entry, Target):
        return _target_name(view, located.entry)
    readings = view.readings_behind(located)
    if not readings:
        return visible(located.entry.id)
    specimens = sorted({specimen_name(view, each.specimen_id) for each in readings})
    when = read_on(view, readings)
    return " and ".join(specimens) + (f"{READ_ON}{when}" if when else "")


def _target_name(view: CaseView, target: Target) -> str:
    source = view.entries.get(target.source_id) if target.source_id is not None else None
    match target.source_kind:
        case "chosen-reference":
            return colour_name(view, source) if source is not None else "a chosen reference"
        case "design-value":
            return "a design value"
        case "agreed-with-patient":
            return "the colour agreed with the patient"
        case _ if source is not None:
            return colour_name(view, source)
        case "measured-tooth":
            return "a measured tooth that the file does not name"
        case _:
            return "a measured restoration that the file does not name"


def entry_name(view: CaseView, entry_id: str | None) -> str:
    """Return an entry in words: a specimen by its name, a colour by what it is of, anything else by its id."""
    located = view.entries.get(entry_id) if entry_id is not None else None
    if located is None:
        return visible(entry_id) if entry_id else "the file"
    entry: Any = located.entry
    return specimen_name(view, entry.id) if isinstance(entry, Specimen) else visible(entry.id)
