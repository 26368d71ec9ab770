"""Where cases go: a file, lines of a file (plain, gzip, zstd), a bundle (folder or ZIP), standard output. Whole or not.

The name of the target says which: `*.ndjson`, `*.ndjson.gz` and `*.ndjson.zst` take any number of cases, one a line;
`*.zip` and a folder (a name that ends in a slash) take one case with its attachments; any other name takes one case.
"""

import hashlib
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, Final, NamedTuple

from shadefmt.bundles import Contents, is_safe
from shadefmt.documents import dumps
from shadefmt.errors import CannotWrite, Refused, WrongUse
from shadefmt.files import PIECE, whole
from shadefmt.jsontext import line_form
from shadefmt.streams import holds_lines, packed

Value = dict[str, Any]

DOCUMENT: Final = "case.shade.json"
"""Name of the document at the root of a bundle."""

_MOMENT: Final = (1980, 1, 1, 0, 0, 0)
"""Time of the entries of an archive, so that the same content gives the same bytes: the first that ZIP can say."""


class Put(NamedTuple):
    """One case on its way out, with what opens its attachments."""

    case: Value
    contents: Contents | None = None


def either(first: Contents | None, second: Contents | None) -> Contents:
    """Return what opens a file of one of two bundles, the first that has it."""

    def opened(path: str) -> IO[bytes] | None:
        found = first(path) if first is not None else None
        return found if found is not None or second is None else second(path)

    return opened


Taking = Callable[[Put], None]


def is_bundle(target: str) -> bool:
    """Return whether a target takes files beside its document, by its name."""
    return target.endswith((".zip", "/"))


def takes_many(target: str, *, lines: bool = False) -> bool:
    """Return whether a target takes any number of cases."""
    return lines or holds_lines(target)


@contextmanager
def taking(target: str, *, replace: bool, lines: bool = False) -> Iterator[Taking]:
    """Yield what takes the cases; all of them are written once the block ends, none where it raises.

    Raises:
        CannotWrite: as for `whole`; or more than one case, or none, for a target that takes one.
        Refused: an attachment that a bundle has to carry is not there or is not the one that the case names.
    """
    if takes_many(target, lines=lines):
        with whole(target, replace=replace) as stream, packed(stream, target) as packing:
            yield lambda put: _write(packing, line_form(put.case))
        return
    taken: list[Put] = []
    if target.endswith("/"):
        _demand_new(Path(target))
        yield lambda put: _take_one(taken, put, target)
        _into_folder(Path(target), _the_one(taken, target))
        return
    with whole(target, replace=replace) as stream:  # says at once where the target is not free
        yield lambda put: _take_one(taken, put, target)
        put = _the_one(taken, target)
        if is_bundle(target):
            _into_archive(stream, put)
        else:
            stream.write(dumps(put.case))


def _write(stream: IO[bytes], data: bytes) -> None:
    stream.write(data)


def _take_one(taken: list[Put], put: Put, target: str) -> None:
    if taken:
        raise CannotWrite(f"{target} takes one case, and there are more. Name a target ending .shade.ndjson")
    taken.append(put)


def _the_one(taken: list[Put], target: str) -> Put:
    if not taken:
        raise CannotWrite(f"{target}: there is no case to write")
    return taken[0]


def _into_archive(stream: IO[bytes], put: Put) -> None:
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(_member(DOCUMENT), dumps(put.case))
        for attachment in put.case.get("attachments", ()):
            with archive.open(_member(attachment["path"]), "w", force_zip64=True) as into:
                _copy(attachment, put, into)


def _member(path: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(path, _MOMENT)
    member.compress_type, member.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
    return member


def _demand_new(folder: Path) -> None:
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise CannotWrite(f"{folder} exists and was left as it is. Name a new folder")
    except OSError as failure:
        raise _elsewhere(folder, failure) from failure


def _into_folder(folder: Path, put: Put) -> None:
    """Make a folder beside and give it its name when it is complete; one that holds something is left alone."""
    try:
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name[:40]}.", suffix=".part") as made:
            whole_folder = Path(made) / "bundle"
            whole_folder.mkdir()
            (whole_folder / DOCUMENT).write_bytes(dumps(put.case))
            for attachment in put.case.get("attachments", ()):
                _demand_safe(attachment)
                path = whole_folder / attachment["path"]
                path.parent.mkdir(parents=True, exist_ok=True)
                with path.open("wb") as into:
                    _copy(attachment, put, into)
            whole_folder.replace(folder)
    except OSError as failure:
        raise _elsewhere(folder, failure) from failure


def _elsewhere(folder: Path, failure: OSError) -> CannotWrite:
    return CannotWrite(f"{folder}: {(failure.strerror or str(failure)).lower()}. Choose another place")


def _demand_safe(attachment: Value) -> None:
    if not is_safe(attachment["path"]) or attachment["path"] == DOCUMENT:
        raise WrongUse(f"the attachment {attachment['id']} has the path {attachment['path']!r}, which no bundle takes")


def _copy(attachment: Value, put: Put, into: IO[bytes]) -> None:
    """Copy one attachment, and refuse it where it is not the file that the case names."""
    _demand_safe(attachment)
    source = put.contents(attachment["path"]) if put.contents is not None else None
    if source is None:
        remedy = "Put it beside the case, or write no bundle"
        raise Refused("the attachment is not there", where=attachment["path"], remedy=remedy)
    with source, tempfile.TemporaryFile() as copy:
        shutil.copyfileobj(source, copy, PIECE)
        copy.seek(0)
        if hashlib.file_digest(copy, "sha256").hexdigest() != attachment["sha256"]:
            remedy = "Ask for the file again, or write no bundle"
            raise Refused("the attachment is not the file that the case names", where=attachment["path"], remedy=remedy)
        copy.seek(0)
        shutil.copyfileobj(copy, into, PIECE)
