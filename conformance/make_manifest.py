"""Write manifest.json, the list of the suite's files, or with `--check` say whether it is the one that belongs here.

The standard library is enough.
"""

import hashlib
import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any, Final

SUITE: Final = Path(__file__).resolve().parent
SUITE_VERSION: Final = "1.0.0"
FORMAT_VERSION: Final = "1.0"

KINDS: Final = {
    "bases": "base",
    "syntax": "checking",
    "version": "checking",
    "structure": "checking",
    "rules": "checking",
    "members": "structure",
    "intake": "intake",
    "import": "import",
    "export": "export",
    "computation": "computation",
    "digest/numbers.json": "canonical-number",
    "digest/documents.json": "canonical-document",
    "digest/bases.json": "base-digest",
    "digest/as-it-was.json": "as-it-was",
    "file-form": "file-form",
}
"""Kind of the files in a folder, or of one file."""


def manifest() -> dict[str, Any]:
    """The manifest of what lies in the folder."""
    catalogue = json.loads((SUITE.parent / "schema" / "rules.json").read_text("utf-8"))
    files = [_file(path, kind) for place, kind in KINDS.items() for path in _paths(place)]
    totals: Counter[str] = Counter()
    for each in files:
        totals[each["kind"]] += each["cases"]
    return {
        "suite_version": SUITE_VERSION,
        "format_version": FORMAT_VERSION,
        "rule_set": catalogue["rule_set"],
        "totals": {kind: count for kind, count in totals.items() if count},
        "files": files,
    }


def text_of(content: dict[str, Any]) -> str:
    """The manifest as it is written: one file a line."""
    lines = [f"  {json.dumps(name)}: {json.dumps(item)}" for name, item in content.items() if name != "files"]
    files = ",\n".join(f"    {json.dumps(each)}" for each in content["files"])
    return "{\n" + ",\n".join(lines) + f',\n  "files": [\n{files}\n  ]\n}}\n'


def main(arguments: list[str]) -> int:
    """Write or compare; 1 where the manifest is stale."""
    path, fresh = SUITE / "manifest.json", text_of(manifest())
    if arguments == ["--check"]:
        stale = not path.exists() or path.read_text("utf-8") != fresh
        if stale:
            print("conformance/manifest.json is stale: run make_manifest.py", file=sys.stderr)
        return int(stale)
    path.write_text(fresh, "utf-8", newline="\n")
    return 0


def _paths(place: str) -> list[Path]:
    found = SUITE / place
    return [found] if found.is_file() else sorted(found.rglob("*.json"))


def _file(path: Path, kind: str) -> dict[str, Any]:
    data = path.read_bytes()
    name = path.relative_to(SUITE).as_posix()
    if name.endswith(".shade.json"):
        kind, count = ("complete" if name.startswith("members/") else "base"), 0
    else:
        count = len(json.loads(data))
    return {"path": name, "kind": kind, "cases": count, "sha256": hashlib.sha256(data).hexdigest()}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
