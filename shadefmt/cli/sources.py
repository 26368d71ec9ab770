"""Where documents come from: files, lines of files, bundles, folders, standard input."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from shadefmt.bundles import Attachments, beside, is_zip, zip_bundle
from shadefmt.errors import CannotRead
from shadefmt.files import STANDARD, read_bytes
from shadefmt.streams import document_lines, holds_lines


class Source(NamedTuple):
    """One document with its name and, where it has some, the files around it."""

    name: str
    data: bytes
    attachments: Attachments | None = None


def sources(path: str, *, lines: bool = False) -> Iterator[Source]:
    """Yield the documents of a file one by one.

    A file named `*.ndjson`, `*.ndjson.gz` or `*.ndjson.zst` holds one a line, and so does any file with `lines`; a ZIP
    archive is a bundle; any other file is one document, whose attachments lie beside it.

    Raises:
        CannotRead: the file cannot be read, or is a folder.
        Refused: a bundle or compressed file is damaged.
    """
    shown = "standard input" if path == STANDARD else path
    if lines or holds_lines(path):
        for number, line in document_lines(path):
            yield Source(f"{shown}:{number}", line)
        return
    if path != STANDARD and Path(path).is_dir():
        raise CannotRead(f"{path}: no *.shade.json in this folder. Name a file, or another folder")
    data = read_bytes(path)
    if is_zip(data):
        bundle = zip_bundle(data, shown)
        yield Source(bundle.name, bundle.document, bundle.attachments)
    else:
        yield Source(shown, data, None if path == STANDARD else beside(path))


def files(paths: list[str]) -> Iterator[str]:
    """Yield the files that paths stand for; a folder stands for every document below it, in order of name.

    A folder without a document stands for itself, which `sources` refuses.
    """
    for path in paths:
        if path == STANDARD or not Path(path).is_dir():
            yield path
            continue
        found = sorted(each for each in Path(path).rglob("*.shade.*json*") if each.is_file())
        yield from map(str, found or [Path(path)])
