"""Cases as input of commands that go on from them."""

from typing import Any

from shadefmt.checking import check
from shadefmt.documents import loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import read_bytes
from shadefmt.model.report import Finding
from shadefmt.versions import FORMAT_VERSIONS


def sound_case(path: str) -> dict[str, Any]:
    """Return the case in a file whose form can be worked on; what it claims is not judged.

    Raises:
        CannotRead: the file cannot be read.
        Refused: it is no document, or does not fit the schema.
        WrongUse: it is no case, or one of a newer version.
    """
    data = read_bytes(path)
    refuse_faults(data, path)
    case = loads(data)
    if case["kind"] != "case":
        raise WrongUse(f"{path} is a {case['kind']}; a case is meant")
    if case["version"] not in FORMAT_VERSIONS:
        raise WrongUse(f"{path} is of version {case['version']}; use a program that knows it")
    return case


def refuse_faults(data: bytes, name: str) -> None:
    """Raise Refused where bytes are no document that fits its schema."""
    fault = first_fault(check(data).findings)
    if fault is not None:
        raise Refused(fault.message, where=f"{name}: {fault.pointer or 'root'}", remedy=fault.remedy or "")


def first_fault(findings: list[Finding] | None) -> Finding | None:
    """Return the first error of form, not of content."""
    return next((each for each in findings or () if each.stage != "rules" and each.severity == "error"), None)
