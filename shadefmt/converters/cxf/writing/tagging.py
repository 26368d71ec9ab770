"""The tags of our own of one reading: what belongs to it and is said nowhere else."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.writing.restoring import tag_line
from shadefmt.converters.cxf.writing.xmltext import can_stand
from shadefmt.converters.leaving import Leaving, Path, Reason

Value = Mapping[str, Any]

TAG: Final = "Object/TagCollection/Tag"
"""Where tags stand, for the loss report."""

_NOT_XML: Final = Reason("control-characters", "a text with control characters has no place in XML")
_ON_INSTRUMENT: Final = {
    "geometry": "ColorSpecification/MeasurementSpec/GeometryChoice",
    "specular": "ColorSpecification/MeasurementSpec/GeometryChoice/SphereGeometry",
    "aperture_mm": "ColorSpecification/MeasurementSpec/Aperture",
    "model": "ColorSpecification/MeasurementSpec/Device/Model",
}
_NOTHING: Final[frozenset[str]] = frozenset()


class Tags:
    """Writes the tags of readings of one case; those of specimens, sessions and instruments are made once."""

    def __init__(self, case: Value, leaving: Leaving) -> None:
        self._case = case
        self._leaving = leaving
        self._entry_tags: dict[tuple[str, int, frozenset[str]], list[str]] = {}

    def lines(
        self, place: int, places: Mapping[str, int | None], said: frozenset[str], *, points: bool
    ) -> Iterator[str]:
        """Yield the tags of the reading at a place.

        `places` are those of its specimen, session and instrument, `said` the members of the instrument that its
        specification says; `points` whether its spectrum is written as points.
        """
        reading = self._case["readings"][place]
        yield tag_line(own.CASE, self._case["id"])
        yield from self._tags("reading", ("readings", place), reading, frozenset({"backing"}))
        if places["specimen"] is None:
            yield tag_line("specimen.id", reading["specimen_id"])
        self._leaving.wrote(("readings", place, "specimen_id"), TAG)
        if places["session"] is not None:
            self._leaving.wrote(("readings", place, "session_id"), TAG)
        if points:
            yield from (tag_line(*each) for each in _grid_tags(reading["spectrum"]))
        for word, entry in places.items():
            if entry is not None:
                yield from self._tags_of(word, entry, said if word == "instrument" else _NOTHING)

    def _tags_of(self, word: str, place: int, without: frozenset[str]) -> list[str]:
        key = (word, place, without)
        known = self._entry_tags.get(key)
        if known is None:
            path: Path = (f"{word}s", place)
            entry = self._case[f"{word}s"][place]
            known = self._entry_tags[key] = self._tags(word, path, entry, without)
            for name in sorted(without):
                self._leaving.wrote((*path, name), _ON_INSTRUMENT[name])
        return known

    def _tags(self, word: str, path: Path, entry: Value, without: frozenset[str]) -> list[str]:
        lines: list[str] = []
        written: dict[str, str] = {}
        for tag, member in own.members_of(word).items():
            value = entry.get(member.path[0])
            if value is None or member.path[0] in without:
                continue
            for name in member.path[1:]:
                value = value.get(name)
            if value is None:
                continue
            text = own.text_of(value)
            if not can_stand(text):
                self._leaving.left((*path, *member.path), _NOT_XML)
                continue
            lines.append(tag_line(tag, text))
            if len(member.path) == 1:
                written[tag.partition(".")[2]] = TAG
            else:
                self._leaving.wrote((*path, *member.path), TAG)
        self._leaving.wrote_members(path, written)
        return lines


def _grid_tags(spectrum: Value) -> Iterator[tuple[str, str]]:
    """An even grid that CxF3 writes as points comes back as what it was."""
    for name in ("start_nm", "step_nm"):
        if name in spectrum:
            yield f"spectrum.{name}", own.text_of(spectrum[name])
