"""What every model shares: strict, closed, immutable; absent members are absent, never null."""

from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeAlias, TypeVar

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from shadefmt.limits import MAX_DECIMALS, MAX_ID_CHARACTERS, MAX_NUMBER

T = TypeVar("T")

if TYPE_CHECKING:
    Absent: TypeAlias = T | None
else:

    class Absent:
        """`Absent[T] = None`: a `T` that may be left out. Readers see `None`; a written null is refused."""

        def __class_getitem__(cls, item: Any) -> Any:
            return item


class Block(BaseModel):
    """A group of members inside an entry. Says nothing that JSON Schema cannot say."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        frozen=True,
        allow_inf_nan=False,
        defer_build=True,
        protected_namespaces=(),
    )

    def to_value(self) -> dict[str, Any]:
        """Return the members that are present as plain JSON values, in the order of the specification."""
        return {name: plain(item) for name in type(self).model_fields if (item := getattr(self, name)) is not None}


def plain(item: Any) -> Any:
    """Return a model, list or scalar as plain JSON values; whole floats become integers."""
    if isinstance(item, Block):
        return item.to_value()
    if isinstance(item, list):
        return [plain(each) for each in item]
    if isinstance(item, float) and item.is_integer():
        return int(item)
    return item


FormatVersion = Literal["1.0"]
"""Every version of the format that the models say; which member came with which, `Since` says."""

EntryId = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$", max_length=MAX_ID_CHARACTERS)]
DocumentId = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9+.-]*:[!-~]+$", max_length=200)]
Sha256 = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Text = Annotated[str, StringConstraints(min_length=1, max_length=4000)]
ShortText = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Timestamp = Annotated[
    str,
    StringConstraints(
        pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}"
        r"(T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,9})?)?(Z|[+-][0-9]{2}:[0-9]{2})?)?$",
        max_length=40,
    ),
]
Tooth = Annotated[str, StringConstraints(pattern=r"^([1-4][1-8]|[5-8][1-5])$")]
Area = Annotated[str, StringConstraints(pattern=r"^(00|01|02|[1-4]0)$")]
Decimals = Annotated[int, Field(ge=0, le=MAX_DECIMALS)]
Positive = Annotated[float, Field(gt=0, le=MAX_NUMBER)]
NotNegative = Annotated[float, Field(ge=0, le=MAX_NUMBER)]
Factor = Annotated[float, Field(ge=0.001, le=1000)]
Number = Annotated[float, Field(ge=-MAX_NUMBER, le=MAX_NUMBER)]
Count = Annotated[int, Field(ge=1)]

Extensions = Annotated[
    dict[
        Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]*(\.[a-z0-9][a-z0-9-]*)+$", max_length=200)],
        dict[str, Any],
    ],
    Field(min_length=1),
]
ExtensionName = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]*(\.[a-z0-9][a-z0-9-]*)+$", max_length=200)]


class Entry(Block):
    """One entry of a root list: named once, never rewritten, added by one revision."""

    id: EntryId
    """Name of the entry, unique in the document and never used again."""
    revision_id: Absent[EntryId] = None
    """Revision that added the entry; absent means the first."""
