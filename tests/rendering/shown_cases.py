"""Cases to show. Everything in them is invented by hand; labels are invented words."""

import json
from pathlib import Path
from typing import Any, Final

from lxml import html

from shadefmt.checking import check
from shadefmt.jsontext import file_form
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering import page_html
from shadefmt.structure import structured

DATA: Final = Path(__file__).parent / "data"


def as_case(value: dict[str, Any]) -> Case:
    """The model of a case, which has to be one."""
    made = structured(value, "case", newer=False)
    assert isinstance(made.root, Case), made.faults
    return made.root


def checked(value: dict[str, Any]) -> tuple[Case, Report]:
    """A case with what the checker says of it."""
    return as_case(value), check(file_form(value))


def rich() -> dict[str, Any]:
    """A crown that somebody objected to, with nearly every part that a case can have and all five outcomes.

    One verdict (`verdict-now`) does not follow from its rule: with 2.57, give or take 0.5, and a limit of 1.8 the
    four-way rule of ILAC-G8 says that it does not conform.
    """
    value: dict[str, Any] = json.loads((DATA / "objection.shade.json").read_bytes())
    return value


def smallest(**more: Any) -> dict[str, Any]:
    """One reading of one tooth."""
    lab = {"L": 71.2, "a": 2.3, "b": 19.4}
    colour = {"illuminant": "D65", "observer": "2-degree", "decimals": 1, "origin": "instrument", "lab": lab}
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:0b7d9a52-53c1-4c7e-a6f0-2f8e4d1c9b30",
        "specimens": [{"id": "tooth-45", "kind": "tooth", "tooth": "45"}],
        "readings": [{"id": "only", "specimen_id": "tooth-45", "zone": "occlusal", "colours": [colour]}],
        **more,
    }


def page_of(value: dict[str, Any]) -> Any:
    """The page of a case, parsed."""
    return html.document_fromstring(page_html(*checked(value)))


def section(page: Any, question: str) -> Any:
    """The part of a page that answers a question."""
    return next(each for each in page.iter("section") if each.find("h2").text == question)


def words(node: Any) -> str:
    """All text of an element, blanks folded."""
    return " ".join(node.text_content().split())
