"""What a case that came from CxF keeps in its extension, back to where it stood."""

from collections.abc import Iterable, Mapping
from typing import Any, Final, NamedTuple, get_args

from shadefmt.converters.cxf.colours import KINDS, Triple
from shadefmt.converters.cxf.ledger import EXTENSION
from shadefmt.converters.cxf.numbers import number_of, numbers_of
from shadefmt.converters.cxf.own import COLLECTION
from shadefmt.converters.cxf.writing.dating import date_time
from shadefmt.converters.cxf.writing.places import PHYSICAL, colour_texts, fitting
from shadefmt.converters.cxf.writing.xmltext import PREFIX, attribute, can_stand, elements
from shadefmt.converters.leaving import Leaving, Path
from shadefmt.converters.numerals import number_texts
from shadefmt.errors import Refused
from shadefmt.vocabulary import Origin

Value = Mapping[str, Any]

ROOT: Final[Path] = ("extensions", EXTENSION)
KEYED: Final = frozenset({(*ROOT, "readings")})
"""Members of the extension that are named by ids of readings."""

ORIGINS: Final = frozenset(get_args(Origin))
"""Names of values that are not to be taken for one of ours."""
_RESTATED: Final = {"lab": "ColorCIELCh", "xyz": "ColorCIExyY"}


class Further(NamedTuple):
    """A colour that a case keeps beside a reading: element, coordinates, name, specification, where it is kept."""

    name: str
    texts: dict[str, str]
    label: str
    specification: str
    paths: list[Path]


class Kept:
    """The extension of one case. Whatever is not in the form that the reader gives it is left alone."""

    def __init__(self, case: Value, leaving: Leaving) -> None:
        self._leaving = leaving
        extension = _dict(_dict(case.get("extensions")).get(EXTENSION))
        self._readings = _dict(extension.get("readings"))
        self._objects = [_dict(each) for each in _list(extension.get("objects"))]
        self._specifications: dict[str, tuple[int, dict[str, str]]] = {}
        for place, each in enumerate(_list(extension.get("specifications"))):
            name = _dict(each).get("id")
            if isinstance(name, str):
                self._specifications.setdefault(name, (place, _texts(_dict(each).get("texts"))))

    def bystanders(self) -> list[tuple[int, Value]]:
        """Return what is kept of objects that no reading was made of, by place."""
        return [(place, each) for place, each in enumerate(self._objects) if each]

    def restored_bystander(self, place: int, kept: Value, names: Iterable[str]) -> None:
        """Mark what was written of such an object."""
        for name in names:
            if name in kept:
                self._leaving.wrote((*ROOT, "objects", place, name), "Object")

    def of(self, identity: str) -> Value:
        """Return what is kept beside a reading."""
        return _dict(self._readings.get(identity))

    def text(self, kept: Value, name: str) -> str:
        """Return a kept text, empty where there is none that XML can hold."""
        text = kept.get(name)
        return text if isinstance(text, str) and can_stand(text) else ""

    def restored(self, identity: str, name: str, to: str) -> None:
        """Mark something kept beside a reading as written."""
        self._leaving.wrote((*ROOT, "readings", identity, name), to)

    def specification_ids(self, kept: Value) -> list[str]:
        """Return the specifications that a reading named, as far as they are kept."""
        return [name for name in _list(kept.get("specification_ids")) if name in self._specifications]

    def specification(self, name: str) -> Mapping[str, str]:
        """Return the texts of a kept specification."""
        return self._specifications[name][1] if name in self._specifications else {}

    def restored_specification(self, name: str, written: Mapping[str, str], identity: str) -> None:
        """Mark those texts of a kept specification that a written one says."""
        if name not in self._specifications:
            return
        place, texts = self._specifications[name]
        path = (*ROOT, "specifications", place)
        for key, text in texts.items():
            if written.get(key) == text:
                self._leaving.wrote((*path, "texts", key), f"ColorSpecification/{key}")
        if name == identity:
            self._leaving.wrote((*path, "id"), "ColorSpecification/@Id")

    def tag_lines(self, path: Path, kept: Value) -> list[str]:
        """Return the collections of tags that an object had; those of our own are made anew."""
        lines: list[str] = []
        open_collection: str | None = None
        for place, tag in enumerate(_list(kept.get("tags"))):
            texts = _texts(tag)
            collection = texts.get("collection", "")
            if not isinstance(tag, Mapping) or len(texts) < len(tag) or collection == COLLECTION:
                continue
            if collection != open_collection:
                lines += [_END] if open_collection is not None else []
                lines.append(f"    <{PREFIX}:TagCollection{attribute('Name', collection)}>")
                open_collection = collection
            lines.append(tag_line(texts.get("name", ""), texts.get("value", "")))
            self._leaving.wrote((*ROOT, *path, "tags", place), "Object/TagCollection/Tag")
        return [*lines, _END] if lines else []

    def physical_lines(self, path: Path, kept: Value) -> list[str]:
        """Return the physical attributes that an object had."""
        texts = fitting(_texts(kept.get("other")), PHYSICAL)
        for key in texts:
            self._leaving.wrote((*ROOT, *path, "other", key), f"Object/{key}")
        return elements(texts, "    ")

    def further_values(self, kept: Value) -> Iterable[Further]:
        """Yield the colours without a member that an object had."""
        for place, each in enumerate(_list(kept.get("colours"))):
            name, label = str(_dict(each).get("kind")), str(_dict(each).get("name", ""))
            reference = _dict(each).get("specification_id")
            texts = _coordinates(_dict(each)) if name in KINDS and label not in ORIGINS else None
            if texts and reference in self._specifications:
                yield Further(name, texts, label, reference, [("colours", place)])
        groups: dict[str, dict[str, str]] = {}
        for key, text in _texts(kept.get("other")).items():
            head, _, rest = key.partition("/")
            if "[" in head and rest:
                groups.setdefault(head, {})[rest] = text
        for head, texts in groups.items():
            name = head.partition("[")[0]
            found = colour_texts(name, texts)
            reference = texts.get("@ColorSpecification", "")
            if found and reference in self._specifications:
                paths: list[Path] = [("other", f"{head}/{key}") for key in texts]
                yield Further(name, found, texts.get("@Name", ""), reference, paths)

    def restored_values(self, identity: str, further: Further) -> None:
        """Mark a colour that has no member as written."""
        for path in further.paths:
            self._leaving.wrote((*ROOT, "readings", identity, *path), f"Object/ColorValues/{further.name}")

    def as_written(self, kept: Value, member: str, colour: Value) -> tuple[str, dict[str, str]] | None:
        """Return element and coordinates that a colour was restated from, where they still say the same."""
        name = _RESTATED[member]
        kind = KINDS[name]
        written = _texts(kept.get("as_written"))
        texts = {letter: written.get(f"{name}/{letter}", "") for letter in kind.coordinates}
        try:
            each = [numbers_of(text) for text in texts.values()]
        except Refused:
            return None
        if any(len(one.values) != 1 for one in each) or kind.convert is None:
            return None
        values = [one.values[0] for one in each]
        if not _in_bounds(name, values):
            return None
        numbers: Triple
        numbers, decimals = kind.convert(values, [one.decimals for one in each])
        same = (*numbers,) == tuple(colour[member].values()) and decimals == colour["decimals"]
        return (name, texts) if same else None

    def restored_coordinates(self, identity: str, name: str, letters: Iterable[str]) -> None:
        """Mark coordinates as written the way they were read."""
        for letter in letters:
            path = (*ROOT, "readings", identity, "as_written", f"{name}/{letter}")
            self._leaving.wrote(path, f"Object/ColorValues/{name}/{letter}")


def file_lines(case: Value, leaving: Leaving) -> list[str]:
    """Return the lines of what the source of a case said of itself: date, description, comment and tags."""
    texts = _texts(_dict(_dict(case.get("extensions")).get(EXTENSION)).get("file"))
    names = ("CreationDate", "Description", "Comment")
    found: dict[str, str] = {name: texts[name] for name in names if name in texts}
    if date_time(found.get("CreationDate", "")) != found.get("CreationDate"):
        found.pop("CreationDate", None)
    lines = elements(found, "  ")
    tags = [key for key in texts if key.startswith("Tag/@Name")]
    values = [key for key in texts if key.startswith("Tag/@Value")]
    if [key.replace("@Name", "@Value") for key in tags] == values:
        for name, value in zip(tags, values, strict=True):
            lines.append(tag_line(texts[name], texts[value])[3:])
        found |= dict.fromkeys(tags + values, "")
    for key in found:
        leaving.wrote((*ROOT, "file", key), "CxF/FileInformation")
    return [f" <{PREFIX}:FileInformation>", *lines, f" </{PREFIX}:FileInformation>"] if lines else []


_END: Final = f"    </{PREFIX}:TagCollection>"


def tag_line(name: str, value: str) -> str:
    """Return the line of a tag."""
    return f"     <{PREFIX}:Tag{attribute('Name', name)}{attribute('Value', value)}/>"


def _coordinates(kept: Value) -> dict[str, str] | None:
    """The coordinates of a colour that was kept aside, as they were written; None where they are not in order."""
    name, written, decimals = kept["kind"], kept.get("as_written"), kept.get("decimals")
    numbers = kept.get("numbers")
    if not written and isinstance(numbers, list) and isinstance(decimals, int) and 0 <= decimals <= 10:
        written = number_texts([each for each in numbers if isinstance(each, int | float)], decimals)
    try:
        values = [number_of(str(text)) for text in _list(written)]
    except Refused:
        return None
    if len(values) != 3 or not _in_bounds(name, values):
        return None
    return dict(zip(KINDS[name].coordinates, map(str, _list(written)), strict=True))


def _in_bounds(name: str, values: list[float]) -> bool:
    if name in ("ColorCIELab", "ColorCIEXYZ"):
        return KINDS[name].in_range(values)
    if name == "ColorCIExyY":
        return 0 <= values[0] <= 1 and 0 < values[1] <= 1 and values[2] >= 0
    return values[0] >= 0 and values[1] >= 0 and 0 <= values[2] <= 360


def _dict(value: Any) -> Value:
    return value if isinstance(value, Mapping) else {}


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _texts(value: Any) -> dict[str, str]:
    """The members that are texts which XML can hold."""
    pairs = _dict(value).items()
    return {name: text for name, text in pairs if isinstance(text, str) and can_stand(f"{name}{text}")}
