"""What round trips through foreign formats expect of a loss report; nothing of a converter takes part in it."""

from typing import Any

Value = dict[str, Any]


def dropped(loss: Value) -> list[str]:
    """Return the places that a loss report names as dropped."""
    return [each["where"] for item in loss.get("items", ()) if item["fate"] == "dropped" for each in item["instances"]]


def carried(loss: Value) -> dict[str, int]:
    """Return how often each path was carried; every drop has to be listed whole."""
    found: dict[str, int] = {}
    for item in loss["items"]:
        if item["fate"] in ("kept", "renamed", "converted"):
            found[item["path"]] = found.get(item["path"], 0) + item["count"]
        elif item["fate"] == "dropped":
            assert item["count"] == len(item["instances"])
    return found


def leaves(value: Any, pattern: str = "") -> dict[str, int]:
    """Return how often each member that holds no object occurs, by path with `*` for places."""
    found: dict[str, int] = {}
    if isinstance(value, dict):
        pairs = [(f"{pattern}/{name}", each) for name, each in value.items()]
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        pairs = [(f"{pattern}/*", each) for each in value]
    else:
        return {pattern: 1}
    for path, each in pairs:
        for leaf, count in leaves(each, path).items():
            found[leaf] = found.get(leaf, 0) + count
    return found


def emptied(value: Any) -> Any:
    """Return a value without entries that were dropped whole and objects that hold nothing any more."""
    if isinstance(value, dict):
        made = {name: emptied(each) for name, each in value.items()}
        return {name: each for name, each in made.items() if each not in ({}, [])}
    if isinstance(value, list):
        made_list = [emptied(each) for each in value if each is not None]
        return [each for each in made_list if each not in ({}, [])]
    return value
