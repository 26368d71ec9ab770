"""Foreign files on the command line: what the options state about one, its format by content, its raw bytes kept."""

import argparse
import os
import re
from pathlib import Path
from typing import IO, Any, BinaryIO, Final

from shadefmt.bundles import Contents, is_safe
from shadefmt.cli.targets import is_bundle
from shadefmt.converters.detecting import seems_foreign
from shadefmt.converters.formats import LOOKED_AT, Format, Stated, format_of
from shadefmt.documents import load
from shadefmt.errors import WrongUse
from shadefmt.files import STANDARD

Value = dict[str, Any]

FLAGS: Final = {"own_fields": "--own-fields", "decimal_comma": "--decimal-comma", "tags": "--tag or --field"}
"""Options whose name is not that of what they state."""

_UNSAFE: Final = re.compile(r"[^A-Za-z0-9._-]+")


def stated_by(given: argparse.Namespace) -> Stated:
    """Return what the options say about a foreign file."""
    return Stated(
        full=given.full,
        percent=given.percent,
        decimal_comma=given.decimal_comma,
        tags=dict(given.tags),
        notation=given.notation,
        own_fields=given.own_fields,
        mapping=load(given.mapping) if given.mapping else None,
        group=given.group,
    )


def recognised(file: BinaryIO, name: str, stated: Stated) -> Format:
    """Return the format of a file by its content.

    Raises:
        WrongUse: no reader takes it, or an option means nothing to its reader.
    """
    head = file.read(LOOKED_AT)
    file.seek(0)
    found = format_of(head, stated)
    if found is None or found.read is None:
        if (foreign := seems_foreign(head)) is not None:
            raise WrongUse(f"{name} is {foreign}")
        what = f"{name} is neither CxF3 nor CGATS text"
        raise WrongUse(f"{what}. A table needs --mapping FILE; --propose-mapping drafts one")
    strange = [FLAGS.get(each, f"--{each}") for each in found.strange_options(stated)]
    if strange:
        raise WrongUse(f"{name} is {found.title}; {', '.join(strange)} means nothing there. Leave it out")
    return found


def with_source(case: Value, file: BinaryIO, info: Value, path: str, media_type: str) -> tuple[Value, Contents]:
    """Return the case with the raw source as an attachment, and what opens that."""
    attachment = {
        "id": "raw-source",
        "path": path,
        "media_type": media_type,
        "use": ["source-data"],
        "size_bytes": info["size_bytes"],
        "sha256": info["sha256"],
    }
    kept = {**case, "attachments": [*case.get("attachments", ()), attachment]}
    if "extensions" in kept:  # the last member of a document
        kept["extensions"] = kept.pop("extensions")

    def contents(asked: str) -> IO[bytes] | None:
        if asked != path:
            return None
        file.seek(0)
        return os.fdopen(os.dup(file.fileno()), "rb")

    return kept, contents


def place_of_source(source: str, target: str) -> str:
    """Return the path that a raw source has in the case that is made of it.

    In a bundle it is copied to `source/`. A plain file carries no other file: its attachments lie beside it, so the
    source has to lie there already.

    Raises:
        WrongUse: the target can have nothing beside it, or the source lies elsewhere.
    """
    if is_bundle(target):
        name = _UNSAFE.sub("-", Path(source).name).strip(".-") if source != STANDARD else ""
        return f"source/{name or 'source'}"
    name = Path(source).name
    together = STANDARD not in (source, target) and Path(source).resolve().parent == Path(target).resolve().parent
    if not (together and is_safe(name)):
        what = "--keep-source: a plain file carries no other file, and the source does not lie beside it"
        raise WrongUse(f"{what} under a portable name. Name a bundle as target: *.zip, or a folder ending in /")
    return name
