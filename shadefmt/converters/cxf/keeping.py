"""What the extension keeps of an object: all that has no member, by reading."""

from typing import Any

from shadefmt.converters.cxf.grouping import Draft
from shadefmt.converters.cxf.parts import ColourPart, ObjectRecord, SpectrumPart

_NAMES = {"Id": "object_id", "Name": "object_name", "ObjectType": "object_type", "GUID": "object_guid"}


def entry_of(record: ObjectRecord, draft: Draft | None, *, with_date: bool) -> dict[str, Any]:
    """Return what is kept of an object beside one reading (or, without a draft, beside none).

    `with_date` adds the object's own date, where the reading does not already carry it.
    """
    kept: dict[str, Any] = {_NAMES[name]: text for name, text in record.attributes.items() if text}
    if with_date and record.created:
        kept["created"] = record.created
    if record.comment:
        kept["comment"] = record.comment
    if draft is not None:
        _add_measurement(kept, draft)
    if record.tags:
        kept["tags"] = [_tag(*tag) for tag in record.tags]
    if record.other:
        kept["other"] = record.other
    return kept


def _add_measurement(kept: dict[str, Any], draft: Draft) -> None:
    parts: list[SpectrumPart | ColourPart] = [draft.spectrum] if draft.spectrum else []
    for colours in draft.colours.values():
        parts += colours
    specifications: list[str] = []
    names: list[str] = []
    written: dict[str, str] = {}
    for part in parts:
        if part.specification and part.specification not in specifications:
            specifications.append(part.specification)
        if part.name and part.name not in names:
            names.append(part.name)
        if part.texts:
            written |= part.texts
    if specifications:
        kept["specification_ids"] = specifications
    if names:
        kept["value_names"] = names
    if written:
        kept["as_written"] = {path.partition("/ColorValues/")[2]: text for path, text in written.items()}
    if draft.aside:
        kept["colours"] = [_colour(part) for part in draft.aside]


def _tag(collection: str, name: str, value: str) -> dict[str, str]:
    members = {"collection": collection, "name": name, "value": value}
    return members if collection and name and value else {key: text for key, text in members.items() if text}


def _colour(part: ColourPart) -> dict[str, Any]:
    return {
        "kind": part.kind,
        **({"specification_id": part.specification} if part.specification else {}),
        **({"name": part.name} if part.name else {}),
        "numbers": list(part.numbers),
        "decimals": part.decimals,
        **({"as_written": list(part.texts.values())} if part.texts else {}),
    }


def spectrum_aside(part: SpectrumPart) -> dict[str, Any]:
    """Return a spectrum that cannot be a member because its quantity is not stated."""
    return {"wavelengths_nm": part.wavelengths_nm, "decimals": part.decimals, "values": part.values}
