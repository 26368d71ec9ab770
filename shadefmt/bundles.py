"""Bundles: a case and the files that it names, in a folder or a ZIP archive. Read in place, never unpacked."""

import hashlib
import io
import re
import stat
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, Final, NamedTuple

from shadefmt.errors import CannotRead, Refused
from shadefmt.limits import MAX_BUNDLE_BYTES, MAX_BUNDLE_ENTRIES, MAX_DOCUMENT_BYTES

ZIP_MAGIC: Final = (b"PK\x03\x04", b"PK\x05\x06")
SEGMENT: Final = re.compile(r"[A-Za-z0-9_-](?:[A-Za-z0-9._-]*[A-Za-z0-9_-])?")
"""A folder or file name in a path: no dot at either end, so never `.` or `..`."""

CHUNK: Final = 1024 * 1024
DAMAGED: Final = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError)
"""What unpacking raises where an archive is damaged."""


class FileFacts(NamedTuple):
    """What is compared of an attachment."""

    size_bytes: int
    sha256: str


Attachments = Callable[[str], FileFacts | None]
"""Returns the facts of the file at a path inside the bundle, None where there is none."""

Contents = Callable[[str], IO[bytes] | None]
"""Opens the file at a path inside the bundle, None where there is none."""


@dataclass(frozen=True)
class Bundle:
    """The one document at the root of a bundle, and access to the files beside it."""

    name: str
    document: bytes
    attachments: Attachments
    contents: Contents


def is_safe(path: str) -> bool:
    """Return whether a path stays inside its bundle and means the same on every system."""
    return all(SEGMENT.fullmatch(part) is not None for part in path.split("/"))


def beside(document_path: str) -> Attachments:
    """Return access to the files in the folder of a document, symbolic links out of it excepted."""
    contents = contents_beside(document_path)

    def facts(path: str) -> FileFacts | None:
        stream = contents(path)
        if stream is None:
            return None
        try:
            with stream:
                return _facts(stream)
        except OSError as failure:
            raise _unreadable(path, failure) from failure

    return facts


def contents_beside(document_path: str) -> Contents:
    """Return what opens the files in the folder of a document, as `beside` finds them."""
    folder = Path(document_path).parent.resolve()

    def opened(path: str) -> IO[bytes] | None:
        if not is_safe(path):
            return None
        target = (folder / PurePosixPath(path)).resolve()
        if not target.is_relative_to(folder) or not target.is_file():
            return None
        try:
            return target.open("rb")
        except OSError as failure:
            raise _unreadable(str(target), failure) from failure

    return opened


def _unreadable(path: str, failure: OSError) -> CannotRead:
    reason = (failure.strerror or "cannot be read").lower()
    return CannotRead(f"{path}: {reason}. Check the permissions")


def is_zip(data: bytes) -> bool:
    """Return whether bytes begin like a ZIP archive."""
    return data.startswith(ZIP_MAGIC)


def zip_bundle(data: bytes, name: str) -> Bundle:
    """Return the bundle in a ZIP archive.

    Raises:
        Refused: it is no sound archive, has unsafe or repeated names, is too large, or has not exactly one
            `*.shade.json` at its root.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        entries = [each for each in archive.infolist() if not each.is_dir()]
        _demand_sound(entries, name)
        roots = [each for each in entries if "/" not in each.filename and each.filename.endswith(".shade.json")]
        if len(roots) != 1:
            what = f"{len(roots)} documents at the root of the bundle"
            raise Refused(what, where=name, remedy="A bundle has exactly one *.shade.json at its root")
        document = _limited(archive, roots[0], MAX_DOCUMENT_BYTES, name)
    except (*DAMAGED, ValueError) as failure:
        raise Refused(f"no sound ZIP archive ({failure})", where=name, remedy="Ask for the bundle again") from failure

    def opened(path: str) -> IO[bytes] | None:
        found = next((each for each in entries if each.filename == path), None)
        return archive.open(found) if found is not None and is_safe(path) else None

    def facts(path: str) -> FileFacts | None:
        try:
            stream = opened(path)
            if stream is None:
                return None
            with stream:
                return _facts(stream)
        except DAMAGED as failure:
            raise Refused(f"{path} is damaged ({failure})", where=name, remedy="Ask for the bundle again") from failure

    return Bundle(f"{name}/{roots[0].filename}", document, facts, opened)


def _demand_sound(entries: list[zipfile.ZipInfo], name: str) -> None:
    if len(entries) > MAX_BUNDLE_ENTRIES:
        raise Refused(f"{len(entries)} files in one bundle", where=name, remedy=f"At most {MAX_BUNDLE_ENTRIES}")
    if sum(each.file_size for each in entries) > MAX_BUNDLE_BYTES:
        raise Refused("the unpacked files are too large", where=name, remedy=f"At most {MAX_BUNDLE_BYTES} bytes")
    seen: set[str] = set()
    for each in entries:
        if not is_safe(each.filename):
            raise Refused(f"the file name {each.filename!r} is not safe", where=name, remedy="Rename the file")
        if each.filename.casefold() in seen:
            raise Refused(f"the file name {each.filename!r} is there twice", where=name, remedy="Rename one of them")
        if each.flag_bits & 1:
            raise Refused(f"{each.filename} is encrypted", where=name, remedy="Send the bundle without a password")
        if stat.S_ISLNK(each.external_attr >> 16):
            raise Refused(f"{each.filename} is a link to a file", where=name, remedy="Put the file itself there")
        if each.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise Refused(
                f"{each.filename} is packed in an unusual way", where=name, remedy="Pack it as usual: deflate"
            )
        seen.add(each.filename.casefold())


def _limited(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int, name: str) -> bytes:
    with archive.open(entry) as stream:
        data = stream.read(most + 1)
    if len(data) > most:
        raise Refused(f"{entry.filename} is too large", where=name, remedy=f"At most {most} bytes")
    return data


def _facts(stream: IO[bytes]) -> FileFacts:
    """Return size and digest, read in pieces and never beyond the limit of a bundle."""
    digest, size = hashlib.sha256(), 0
    while piece := stream.read(CHUNK):
        digest.update(piece)
        size += len(piece)
        if size > MAX_BUNDLE_BYTES:
            raise Refused("a file is too large", remedy=f"At most {MAX_BUNDLE_BYTES} bytes")
    return FileFacts(size, digest.hexdigest())
