"""Write the schemas of every version, and members.json beside them; with --check only say whether they are fresh."""

import json
import sys
from pathlib import Path

from scripts.member_lists import members_by_kind
from shadefmt.model.schema import all_schemas
from shadefmt.versions import FORMAT_VERSIONS

FOLDER = Path(__file__).parent.parent / "schema"


def expected() -> dict[Path, str]:
    """Return the text that each schema file, and the lists of members beside them, are to have."""
    made = {FOLDER / version / "members.json": members_by_kind(version) for version in FORMAT_VERSIONS}
    return made | {
        FOLDER / version / f"{kind}.schema.json": json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        for version in FORMAT_VERSIONS
        for kind, schema in all_schemas(version).items()
    }


def main() -> int:
    """Write or compare; 1 where a file is stale."""
    stale = []
    for path, text in expected().items():
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            stale.append(path)
            if "--check" not in sys.argv:
                path.write_text(text, encoding="utf-8")
    if "--check" in sys.argv and stale:
        print(
            "stale:",
            ", ".join(f"{each.parent.name}/{each.name}" for each in stale),
            "- run: python -m scripts.generate_schemas",
        )
        return 1
    print(f"{len(expected())} files, {len(stale)} written" if stale else "schemas are fresh")
    return 0


if __name__ == "__main__":
    sys.exit(main())
