"""Freeze a version of the format: write schema/<version>/RELEASED.sha256; with --check say what moved since.

The file lists every file of the folder, in the form that `sha256sum --check` reads. Once it exists, the folder is
never changed again: python -m scripts.freeze_version 1.0
"""

import hashlib
import sys
from pathlib import Path

SCHEMA = Path(__file__).resolve().parent.parent / "schema"
NAME = "RELEASED.sha256"


def digests(folder: Path) -> str:
    """Return a line for every file below a folder but the list itself, in order of their paths."""
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path != folder / NAME)
    lines = (
        f"{hashlib.sha256(each.read_bytes()).hexdigest()}  {each.relative_to(folder).as_posix()}" for each in files
    )
    return "".join(f"{line}\n" for line in lines)


def moved(folder: Path) -> list[str]:
    """Return the paths that were changed, added or removed in a frozen folder."""
    frozen = set((folder / NAME).read_text(encoding="utf-8").splitlines())
    return sorted({line.partition("  ")[2] for line in frozen ^ set(digests(folder).splitlines())})


def main() -> int:
    """Freeze one version, or check every frozen one; 1 where a file moved, 2 where there is nothing to freeze."""
    if "--check" in sys.argv:
        faults = {path.parent.name: moved(path.parent) for path in sorted(SCHEMA.glob(f"*/{NAME}"))}
        for version, paths in faults.items():
            print(f"{version}: {'frozen, and as it was' if not paths else 'changed: ' + ', '.join(paths)}")
        return int(any(faults.values()))
    folder = SCHEMA / sys.argv[-1]
    if not (folder / "README.md").is_file() or (folder / NAME).exists():
        print(f"{folder.name}: there is no such version, or it is frozen already")
        return 2
    (folder / NAME).write_text(digests(folder), encoding="utf-8")
    print(f"{folder.name}: {len(digests(folder).splitlines())} files frozen")
    return 0


if __name__ == "__main__":
    sys.exit(main())
