"""Cases as input of commands that go on from them."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from shadefmt.bundles import Contents
from shadefmt.checking import check
from shadefmt.cli.sources import Source, all_sources, the_source
from shadefmt.documents import loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.report import Finding
from shadefmt.versions import FORMAT_VERSIONS

Value = dict[str, Any]


class SoundCase(NamedTuple):
    """A case that can be worked on, its name, and what opens its attachments."""

    name: str
    value: Value
    contents: Contents | None


def sound_case(path: str) -> SoundCase:
    """Return the one case of a file, a bundle or a folder whose form can be worked on; what it claims is not judged.

    Raises:
        CannotRead: the file cannot be read.
        Refused: it is no document, or does not fit the schema.
        WrongUse: it is no case, one of a newer version, or there are several.
    """
    return _sound(the_source(path))


def sound_cases(path: str, *, lines: bool = False) -> Iterator[SoundCase]:
    """Yield every case of a file, a bundle or a folder, as `sound_case` does."""
    return map(_sound, all_sources([path], lines=lines))


def _sound(source: Source) -> SoundCase:
    refuse_faults(source.data, source.name)
    case = loads(source.data)
    if case["kind"] != "case":
        raise WrongUse(f"{source.name} is a {case['kind']}; a case is meant")
    if case["version"] not in FORMAT_VERSIONS:
        raise WrongUse(f"{source.name} is of version {case['version']}; use a program that knows it")
    return SoundCase(source.name, case, source.contents)


def refuse_faults(data: bytes, name: str) -> None:
    """Raise Refused where bytes are no document that fits its schema."""
    fault = first_fault(check(data).findings)
    if fault is not None:
        raise Refused(fault.message, where=f"{name}: {fault.pointer or 'root'}", remedy=fault.remedy or "")


def first_fault(findings: list[Finding] | None) -> Finding | None:
    """Return the first error of form, not of content."""
    return next((each for each in findings or () if each.stage != "rules" and each.severity == "error"), None)
