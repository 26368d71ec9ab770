"""Write the base documents of the suite, or with `--check` say which are not what the generator makes.

Needs colour-science and rfc8785; nothing of shadefmt is used, so that the documents are right by other means.
"""

import sys
from pathlib import Path

from generating.appearance import appearance
from generating.bench import bench
from generating.course import course
from generating.crown import crown, crown_by_two_parties
from generating.documents import COLUMNS, GUIDE, LIMITS, PROFILE, SMALLEST, STOCK, WAIVERS
from generating.pair import pair
from generating.repeats import repeats
from generating.whitening import whitening
from generating.writing import file_bytes

BASES = Path(__file__).resolve().parent / "bases"


def documents() -> dict[str, bytes]:
    """The bytes of every base document by name."""
    made = {
        "smallest": SMALLEST,
        "repeats": repeats(),
        "crown": crown(),
        "crown-by-two-parties": crown_by_two_parties(),
        "course": course(),
        "bench": bench(),
        "whitening": whitening(),
        "appearance": appearance(),
        "pair": pair(),
        "guide": GUIDE,
        "stock": STOCK,
        "limits": LIMITS,
        "columns": COLUMNS,
        "profile": PROFILE,
        "waivers": WAIVERS,
    }
    return {name: file_bytes(document) for name, document in made.items()}


def main(arguments: list[str]) -> int:
    """Write or compare; 1 where something differs."""
    stale = [name for name, data in documents().items() if not _holds(name, data)]
    if arguments == ["--check"]:
        for name in stale:
            print(f"bases/{name}.shade.json is not what generate_bases.py makes", file=sys.stderr)
        return int(bool(stale))
    BASES.mkdir(exist_ok=True)
    for name in stale:
        _path(name).write_bytes(documents()[name])
    return 0


def _path(name: str) -> Path:
    return BASES / f"{name}.shade.json"


def _holds(name: str, data: bytes) -> bool:
    return _path(name).exists() and _path(name).read_bytes() == data


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
