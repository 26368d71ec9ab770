"""Where documents come from: files, lines of files, bundles, folders, standard input."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from shadefmt.bundles import Attachments, Contents, beside, contents_beside, is_zip, zip_bundle
from shadefmt.errors import CannotRead, WrongUse
from shadefmt.files import STANDARD, read_bytes
from shadefmt.streams import document_lines, holds_lines


class Source(NamedTuple):
    """One document with its name and, where it has some, the files around it: their facts, and what opens them."""

    name: str
    data: bytes
    attachments: Attachments | None = None
    contents: Contents | None = None


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
        yield Source(bundle.name, bundle.document, bundle.attachments, bundle.contents)
    elif path == STANDARD:
        yield Source(shown, data)
    else:
        yield Source(shown, data, beside(path), contents_beside(path))


def all_sources(paths: list[str], *, lines: bool = False) -> Iterator[Source]:
    """Yield the documents of files and folders one by one."""
    for path in files(paths):
        yield from sources(path, lines=lines)


def the_source(path: str) -> Source:
    """Return the one document of a file, a bundle or a folder.

    Raises:
        WrongUse: there are more, or none.
        CannotRead, Refused: as for `sources`.
    """
    found = all_sources([path])
    first = next(found, None)
    if first is None or next(found, None) is not None:
        how = "no document" if first is None else "more than one document"
        raise WrongUse(f"{path} holds {how}; one is meant. Name one file")
    return first


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
