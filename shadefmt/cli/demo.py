"""`shadefmt demo`: the whole job on invented data, from two instrument exports to a judged case and a damaged copy."""

import argparse
import sys
from pathlib import Path
from typing import Any, Final

from shadefmt.amending import add_revision, renamed
from shadefmt.checking import check
from shadefmt.converters.cxf import read_cxf
from shadefmt.converters.table import read_table
from shadefmt.damaging import KINDS, damaged_repeatedly
from shadefmt.deriving import Request, derive
from shadefmt.documents import dumps, embedded_set, embedded_tolerance, load
from shadefmt.errors import CannotWrite
from shadefmt.files import read_bytes, write_whole
from shadefmt.history import add_entries
from shadefmt.jsontext import digest
from shadefmt.model.case import Case
from shadefmt.rendering import case_text, page_html, report_text
from shadefmt.resources import schema_folder
from shadefmt.versions import FORMAT_VERSION

Value = dict[str, Any]

PRODUCER: Final = {"name": "shadefmt demo", "version": "1"}
AS_OF: Final = "2026-03-13"
ZONES: Final = ("cervical", "middle", "incisal")
TAGS: Final = {"specimen": "Specimen", "tooth": "Tooth", "support": "Support", "zone": "Zone", "state": "State"}
INPUTS: Final = (
    "chairside-table.csv",
    "chairside-table.shade.json",
    "bench-export.cxf",
    "guide.shade.json",
    "stock.shade.json",
    "tolerance.shade.json",
)


def run(given: argparse.Namespace) -> int:
    """Run the demo in a folder and say what was done and where the results lie."""
    folder = Path(given.folder)
    _copy_inputs(folder, given.force)
    say = _Story(folder, given.force)
    say.line("A clinic read tooth 21 and the stump of 11 and exported a table; a laboratory made a crown for 11,")
    say.line("read it on the bench and exported CxF3. Both exports, the guide, the stock list and the tolerance are")
    say.line(f"invented and lie in {folder}.")
    case = judged_case(folder)
    say.file("case.shade.json", dumps(case), "one case in two revisions: readings, means, nearest references, verdicts")
    data = dumps(case)
    report = check(data, as_of=AS_OF, documents=_documents(folder), name="case.shade.json")
    say.file("report.shade.json", dumps(report), "what the checker says of it")
    model = Case.model_validate(case)
    say.file("case.html", page_html(model, report).encode(), "the case as one page, to open in a browser")
    say.text(case_text(model, report))
    say.line("Then somebody changed a copy on the way: " + "; ".join(KINDS[each][0] for each in DAMAGE) + ".")
    damaged = damaged_copy(case)
    say.file("damaged.shade.json", dumps(damaged), "the damaged copy")
    found = check(dumps(damaged), as_of=AS_OF, documents=_documents(folder), name="damaged.shade.json")
    say.text(report_text(found, name="damaged.shade.json"))
    say.line(f"Look again with: shadefmt check {folder / 'case.shade.json'}")
    say.line(f"                 shadefmt show {folder / 'case.shade.json'}")
    return 0


def judged_case(folder: Path) -> Value:
    """Return the case made of the two exports: converted, completed by each party in its own revision."""
    table = read_table(read_bytes(str(folder / INPUTS[0])), load(str(folder / INPUTS[1])))
    clinic = _clinic_revision(next(iter(table.cases)), folder)
    bench = read_cxf(read_bytes(str(folder / INPUTS[2])), tags=TAGS, notation="iso-3950").case
    return _laboratory_revision(clinic, bench, folder)


def _clinic_revision(case: Value, folder: Path) -> Value:
    """Add what the clinic asks for: the crown, its prescription, the tolerance agreed, and targets from tooth 21."""
    clinic = case["parties"][0]["id"]
    revision = {"id": "clinic-1", "party_id": clinic, "at": "2026-03-04T09:40:00+01:00", "producer": PRODUCER}
    tooth, stump = (each["id"] for each in case["specimens"])
    tolerance = load(str(folder / "tolerance.shade.json"))
    crown = {"id": "crown-11", "kind": "restoration", "tooth": "11", "support": "tooth"}
    order = {
        "id": "order-1",
        "specimen_id": "crown-11",
        "restoration": "crown",
        "material_class": "glass-ceramic",
        "thickness_mm": 1.2,
        "stump_specimen_id": stump,
        "cement": "translucent resin cement",
        "due": "2026-03-16",
    }
    additions = {
        "parties": [{"id": "laboratory", "role": "laboratory", "code": "copper-beech"}],
        "specimens": [crown],
        "prescriptions": [order],
        "tolerances": [embedded_tolerance(tolerance, "tolerance-front", [clinic, "laboratory"], "2026-02-02")],
        "reference_sets": [embedded_set(load(str(folder / "guide.shade.json")), "guide")],
    }
    completed = derive(add_revision(case, revision, additions)).case
    means = {mean["id"]: mean for mean in completed["means"]}
    targets = [_target(means[f"mean-{tooth}-{zone}"], zone, clinic) for zone in ZONES]
    return add_entries(completed, {"targets": targets})


def _target(mean: Value, zone: str, party_id: str) -> Value:
    return {
        "id": f"target-{zone}",
        "specimen_id": "crown-11",
        "zone": zone,
        "source_kind": "measured-tooth",
        "source_id": mean["id"],
        "set_at": "2026-03-04T09:40:00+01:00",
        "set_by_id": party_id,
        "colour": {**mean["colour"], "origin": "copied"},
    }


def _laboratory_revision(case: Value, bench: Value, folder: Path) -> Value:
    """Add what the laboratory read and what follows: the bench readings of the crown, its stock, the verdicts."""
    revision = {
        "id": "laboratory-1",
        "party_id": "laboratory",
        "at": "2026-03-12T16:40:00+01:00",
        "producer": PRODUCER,
    }
    added = renamed(bench, "bench-")
    for session in added["sessions"]:
        session |= {
            "party_id": "laboratory",
            "started": "2026-03-12T15:50:00+01:00",
            "calibration": {"at": "2026-03-12T15:45:00+01:00", "result": "passed"},
        }
    readings = [{**each, "specimen_id": "crown-11"} for each in added["readings"]]
    additions = {
        "instruments": added["instruments"],
        "sessions": added["sessions"],
        "readings": readings,
        "reference_sets": [embedded_set(load(str(folder / "stock.shade.json")), "stock")],
    }
    grown = add_revision(case, revision, additions)
    return derive(grown, Request(components={"inter-instrument": 0.2})).case


DAMAGE: Final = ("reading-retyped", "verdict-turned", "calibration-late")
"""Kinds of damage that the demo shows."""


def damaged_copy(case: Value) -> Value:
    """Return a copy with the damage of `DAMAGE`."""
    return damaged_repeatedly(case, 1, DAMAGE)


def _documents(folder: Path) -> dict[str, str]:
    names = ("guide.shade.json", "stock.shade.json", "tolerance.shade.json")
    documents = [load(str(folder / name)) for name in names]
    return {each["id"]: digest(each) for each in documents}


def _copy_inputs(folder: Path, force: bool) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as failure:
        raise CannotWrite(f"{folder}: {(failure.strerror or str(failure)).lower()}. Name another folder") from failure
    examples = schema_folder() / FORMAT_VERSION / "examples"
    for name in INPUTS:
        write_whole(str(folder / name), (examples / name).read_bytes(), replace=force)


class _Story:
    """Writes files and says so."""

    def __init__(self, folder: Path, force: bool) -> None:
        self._folder = folder
        self._force = force

    def line(self, text: str) -> None:
        print(text)

    def text(self, text: str) -> None:
        print()
        sys.stdout.write(text)
        print()

    def file(self, name: str, data: bytes, what: str) -> None:
        path = self._folder / name
        write_whole(str(path), data, replace=self._force)
        print(f"  {path}: {what}")
