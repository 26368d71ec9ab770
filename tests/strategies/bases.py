"""Sound documents to start from: the base documents of the conformance suite and the published examples.

The bases were made by other means than shadefmt (colour-science and the standard library).
"""

import copy
import json
from functools import cache
from pathlib import Path
from typing import Any, Final

Value = dict[str, Any]

ROOT: Final = Path(__file__).resolve().parents[2]
PATHS: Final = {
    path.name.removesuffix(".shade.json"): path
    for folder in ("conformance/bases", "schema/1.0/examples")
    for path in sorted((ROOT / folder).glob("*.shade.json"))
}
"""Every sound document of the checkout by name."""


@cache
def _documents() -> dict[str, Value]:
    return {name: json.loads(path.read_bytes()) for name, path in PATHS.items()}


def base(name: str) -> Value:
    """Return a copy of one document."""
    return copy.deepcopy(_documents()[name])


def of_kind(kind: str) -> list[str]:
    """Return the names of the documents of one kind."""
    return [name for name, value in _documents().items() if value["kind"] == kind]


def written(value: Any) -> bytes:
    """Return a value as JSON text, by the standard library."""
    return json.dumps(value, ensure_ascii=False).encode()
