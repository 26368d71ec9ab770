"""Write members/: for every member of every object a right and a wrong use, made from the specification's tables.

A complete document of each kind holds every member; each case takes one away or makes it wrong. With `--check` it
says which files are not what the tables give. The standard library is enough.
"""

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from generating.samples import sample, wrong
from generating.tables import Member, Tables, tables
from generating.writing import file_bytes

MEMBERS: Final = Path(__file__).resolve().parent / "members"

OF_THE_VERSION_STAGE: Final = {"/format", "/version", "/kind"}

Value = dict[str, Any]


def files() -> dict[str, bytes]:
    """Every file of the folder by name."""
    known = tables()
    found = {}
    for kind, root in _roots(known).items():
        document = sample(known, f"`{root}`")
        found[f"complete-{kind}.shade.json"] = file_bytes(document)
        cases = list(_cases(known, kind, root, document))
        lines = ",\n".join(f"  {json.dumps(each)}" for each in cases)
        found[f"{kind}.json"] = f"[\n{lines}\n]\n".encode()
    return found


def _roots(known: Tables) -> dict[str, str]:
    """The object at the root of each kind: the one whose members `format` and `kind` are fixed."""
    found = {}
    for name, table in known.objects.items():
        values = {each.name: each.value for each in table.members}
        if "format" in values and values.get("kind", "").startswith("`"):
            found[values["kind"].strip("`")] = name
    return found


def _cases(known: Tables, kind: str, root: str, document: Value) -> Iterator[Value]:
    whole = {"description": "every member is there", "section": known.objects[root].section}
    yield {"id": f"members-{kind}/complete", **whole, "complete": kind, "patch": [], "expect": {"findings": []}}
    for name, place in _places(known, root, document):
        for member in known.objects[name].members:
            if f"{place}/{member.name}" not in OF_THE_VERSION_STAGE:
                yield from _of_member(known, kind, name, place, member)


def _places(known: Tables, root: str, document: Value) -> list[tuple[str, str]]:
    """Every object that a document holds, by name, with the first place where it stands."""
    found: dict[str, str] = {}
    open_objects: list[tuple[str, str]] = [(root, "")]
    while open_objects:
        name, place = open_objects.pop(0)
        if name in found:
            continue
        found[name] = place
        for member in known.objects[name].members:
            inner = member.value.removeprefix("list of ").split(",")[0].strip("`")
            if inner in known.objects and "`" in member.value:
                step = "/0" if member.value.startswith("list of ") else ""
                open_objects.append((inner, f"{place}/{member.name}{step}"))
    return list(found.items())


def _of_member(known: Tables, kind: str, name: str, place: str, member: Member) -> Iterator[Value]:
    path, fault = f"{place}/{member.name}", wrong(known, member)
    head = {"section": known.objects[name].section, "complete": kind}
    missing = [["structure-member-missing", place]] if member.needed else []
    yield {
        "id": f"members-{kind}/{name}.{member.name}.removed",
        "description": f"{member.name} of {name} is not there",
        **head,
        "patch": [{"op": "remove", "path": path}],
        "expect": {"findings": missing},
    }
    yield {
        "id": f"members-{kind}/{name}.{member.name}.wrong",
        "description": f"{member.name} of {name} has a wrong value",
        **head,
        "patch": [{"op": "replace", "path": path, "value": fault.value}],
        "expect": {"findings": [[fault.code, f"{path}{fault.below}"]]},
    }


def main(arguments: list[str]) -> int:
    """Write or compare; 1 where something differs."""
    made = files()
    stale = [name for name, data in made.items() if not _holds(MEMBERS / name, data)]
    if arguments == ["--check"]:
        for name in stale:
            print(f"members/{name} is not what generate_members.py makes", file=sys.stderr)
        return int(bool(stale))
    MEMBERS.mkdir(exist_ok=True)
    for name in stale:
        (MEMBERS / name).write_bytes(made[name])
    return 0


def _holds(path: Path, data: bytes) -> bool:
    return path.exists() and path.read_bytes() == data


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
