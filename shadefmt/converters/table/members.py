"""What a column can become: the members of a case by path, taken from the models themselves."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import ConfigDict, TypeAdapter, ValidationError

from shadefmt.errors import Refused
from shadefmt.model.base import Block, Timestamp
from shadefmt.model.colours import Colour, Lab, Xyz
from shadefmt.model.context import Calibration, Instrument, Party, Privacy, Session, Specimen, Subject
from shadefmt.model.measuring import Reading
from shadefmt.vocabulary import TableMember

Sort = Literal["word", "truth", "count", "number", "tooth", "time", "text"]
"""How the text of a cell is read."""

BLOCKS: Final[Mapping[str, type[Block]]] = {
    "privacy": Privacy,
    "subject": Subject,
    "party": Party,
    "instrument": Instrument,
    "specimen": Specimen,
    "session": Session,
    "session.calibration": Calibration,
    "reading": Reading,
    "reading.colour": Colour,
    "reading.colour.lab": Lab,
    "reading.colour.xyz": Xyz,
}
"""The blocks whose members can be mapped, by the path that a mapping uses."""

_TARGETS: Final[Mapping[str, str]] = {
    "privacy": "/privacy",
    "subject": "/subject",
    "party": "/parties/*",
    "instrument": "/instruments/*",
    "specimen": "/specimens/*",
    "session": "/sessions/*",
    "reading": "/readings/*",
    "colour": "/colours/*",
}


@dataclass(frozen=True, slots=True)
class Member:
    """A member that cells become.

    `entity` is the first step of `path`; `names` are the steps below it.
    """

    path: str
    entity: str
    names: tuple[str, ...]
    sort: Sort
    words: tuple[str, ...]
    adapter: TypeAdapter[Any]

    @property
    def target(self) -> str:
        """Path in the case, as loss reports have it."""
        return "".join(_TARGETS.get(step, f"/{step}") for step in self.path.split("."))

    def check(self, value: Any, text: str) -> None:
        """Raise Refused where the model does not allow the value that `text` was read as."""
        try:
            self.adapter.validate_python(value)
        except ValidationError as error:
            raise Refused(f"{shown(text)} is not allowed: {error.errors()[0]['msg'].lower()}") from None


def shown(text: str) -> str:
    """Return a cell for a message: quoted, control characters escaped, cut after 40 characters."""
    return repr(text if len(text) <= 40 else f"{text[:40]}...")


@cache
def member_of(path: TableMember) -> Member:
    """Return the member that a path of a mapping names."""
    owner, _, name = path.rpartition(".")
    field = BLOCKS[owner].model_fields[name]
    shape: Any = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    steps = tuple(path.split("."))
    return Member(
        path=path,
        entity=steps[0],
        names=steps[1:],
        sort=_sort(name, field.annotation, field.metadata),
        words=get_args(field.annotation) if get_origin(field.annotation) is Literal else (),
        adapter=TypeAdapter(shape, config=ConfigDict(strict=True, allow_inf_nan=False)),
    )


def required_names(block: str) -> tuple[str, ...]:
    """Return the members that a block needs and that a table has to give: neither ids nor blocks."""
    fields = BLOCKS[block].model_fields
    return tuple(
        name for name, field in fields.items() if field.is_required() and f"{block}.{name}" in get_args(TableMember)
    )


def _sort(name: str, annotation: Any, metadata: list[Any]) -> Sort:
    if get_origin(annotation) is Literal:
        return "word"
    plain: dict[Any, Sort] = {bool: "truth", int: "count", float: "number"}
    if annotation in plain:
        return plain[annotation]
    if name == "tooth":
        return "tooth"
    return "time" if metadata == list(get_args(Timestamp)[1:]) else "text"
