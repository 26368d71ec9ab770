"""What schema/<version>/members.json says: which members refer, which are timestamps, which are free text."""

import json
from collections.abc import Iterator
from typing import Any, Final

from shadefmt.model.schema import all_schemas
from shadefmt.referring import ENTRY_LISTS, REFERENCES
from shadefmt.rules.base import FREE_TEXT

TEXTS: Final = frozenset({"Text", "ShortText"})


def members_by_kind(version: str) -> str:
    """The text of the file: one object a line, so that versions can be compared."""
    schemas = all_schemas(version)
    shapes = {name: shape for schema in schemas.values() for name, shape in _objects(schema)}
    lists = {
        "references": _references(dict(_objects(schemas["case"]))),
        "timestamps": _named(shapes, lambda _, member: _target(member) == "Timestamp"),
        "free_text": _named(shapes, lambda name, member: name in FREE_TEXT and _is_text(member)),
    }
    made = [f'"version": {json.dumps(version)}', f'"entry_lists": {json.dumps(ENTRY_LISTS)}']
    for title, by_object in lists.items():
        rows = ",\n".join(f"    {json.dumps(name)}: {json.dumps(row)}" for name, row in sorted(by_object.items()))
        made.append(f'"{title}": {{\n{rows}\n  }}')
    return "{\n  " + ",\n  ".join(made) + "\n}\n"


def _objects(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every object of a schema that has members, by its name; the root by its title."""
    yield schema["title"], schema["properties"]
    for name, shape in schema["$defs"].items():
        if "properties" in shape:
            yield name, shape["properties"]


def _references(shapes: dict[str, Any]) -> dict[str, dict[str, tuple[str, ...]]]:
    """Lists allowed by object and member; blocks that refer are known by the member that holds them."""
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for name, members in shapes.items():
        if "revision_id" in members and name != "ParentRevision":
            found.setdefault(name, {})["revision_id"] = ("revisions",)
    for members in shapes.values():
        for place in REFERENCES.keys() & members.keys():
            if (name := _target(members[place])) in shapes:
                allowed = {each: lists for each, lists in REFERENCES[place].items() if each in shapes[name]}
                found.setdefault(name, {}).update(allowed)
    return {name: {each: rows[each] for each in shapes[name] if each in rows} for name, rows in found.items()}


def _named(shapes: dict[str, Any], fits: Any) -> dict[str, list[str]]:
    found = {name: [each for each, shape in members.items() if fits(each, shape)] for name, members in shapes.items()}
    return {name: members for name, members in found.items() if members}


def _target(member: dict[str, Any]) -> str:
    """Name of the shape that a member, or each element of it, has; empty where it has none of its own."""
    member = member.get("items", member)
    reference: str = member.get("$ref") or (member.get("allOf") or [{}])[0].get("$ref", "")
    return reference.rpartition("/")[2]


def _is_text(member: dict[str, Any]) -> bool:
    return _target(member) in TEXTS or (member.get("type") == "string" and not {"enum", "const"} & member.keys())
