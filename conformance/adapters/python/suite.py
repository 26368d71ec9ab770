"""The suite as data: manifest, cases, and the document that a case is about. Standard library only."""

import base64
import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any, Final, NamedTuple

Value = dict[str, Any]

SUITE: Final = Path(__file__).resolve().parents[2]
"""The folder of the suite."""


class Case(NamedTuple):
    """One case, with the kind and the path of the file that it stands in."""

    kind: str
    path: str
    content: Value

    @property
    def id(self) -> str:
        """Name of the case, unique in the suite."""
        return str(self.content["id"])


@cache
def manifest() -> Value:
    """The list of files."""
    found: Value = json.loads((SUITE / "manifest.json").read_text("utf-8"))
    return found


def cases(*kinds: str) -> Iterator[Case]:
    """Every case of some kinds, or of all, in the order of the manifest."""
    for file in manifest()["files"]:
        if file["cases"] and (not kinds or file["kind"] in kinds):
            for content in json.loads((SUITE / file["path"]).read_text("utf-8")):
                yield Case(file["kind"], file["path"], content)


def base(name: str) -> Value:
    """A base document, decoded; the caller may change it."""
    found: Value = json.loads(_text(f"bases/{name}.shade.json"))
    return found


def complete(kind: str) -> Value:
    """The document of a kind that holds every member, decoded; the caller may change it."""
    found: Value = json.loads(_text(f"members/complete-{kind}.shade.json"))
    return found


def document(case: Value) -> bytes:
    """The bytes that a checking case is about."""
    if "base64" in case:
        data = base64.b64decode(case["base64"])
    elif "text" in case:
        data = case["text"].encode("utf-8")
    else:
        value = base(case["base"]) if "base" in case else complete(case["complete"])
        data = json.dumps(patched(value, case["patch"])).encode("utf-8")
    return data.ljust(case.get("pad_to_bytes", 0), b" ")


def patched(value: Value, patch: list[Value]) -> Value:
    """A document after a JSON Patch (RFC 6902) of add, replace and remove; the document itself is changed.

    Raises:
        KeyError, IndexError: the patch does not fit the document.
    """
    for operation in patch:
        *above, last = [step.replace("~1", "/").replace("~0", "~") for step in operation["path"].split("/")[1:]]
        target: Any = value
        for step in above:
            target = target[int(step)] if isinstance(target, list) else target[step]
        if isinstance(target, list):
            _change_list(target, last, operation)
        else:
            _change_object(target, last, operation)
    return value


def _change_list(target: list[Any], last: str, operation: Value) -> None:
    place = len(target) if last == "-" else int(last)
    if operation["op"] == "add":
        if place > len(target):
            raise IndexError(operation["path"])
        target.insert(place, deepcopy(operation["value"]))
    elif operation["op"] == "replace":
        target[place] = deepcopy(operation["value"])
    else:
        del target[place]


def _change_object(target: Value, last: str, operation: Value) -> None:
    if operation["op"] != "add" and last not in target:
        raise KeyError(operation["path"])
    if operation["op"] == "remove":
        del target[last]
    else:
        target[last] = deepcopy(operation["value"])


@cache
def _text(path: str) -> str:
    return (SUITE / path).read_text("utf-8")
