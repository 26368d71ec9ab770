"""Reading whole files and writing them whole or not at all."""

import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import BinaryIO, cast

from shadefmt.errors import CannotRead, CannotWrite

STANDARD = "-"
"""Stands for standard input and output."""

PIECE = 1 << 18
"""Bytes that are copied at a time."""


def read_bytes(path: str) -> bytes:
    """Return the bytes of a file, or of standard input for `-`.

    Raises:
        CannotRead: there is no such file, it is a folder, or it may not be read.
    """
    if path == STANDARD and sys.stdin is None:
        raise CannotRead("standard input is closed. Name a file")
    try:
        return sys.stdin.buffer.read() if path == STANDARD else Path(path).read_bytes()
    except OSError as failure:
        raise CannotRead(f"{path}: {_why(failure)}. Check the name and the permissions") from failure
    except ValueError as failure:  # a name that no file can have, such as one with a NUL
        raise CannotRead(f"{path!r}: not a file name") from failure


@contextmanager
def opened(path: str) -> Iterator[BinaryIO]:
    """Open a file, or standard input for `-`, so that it can be read more than once; what cannot be is copied.

    Raises:
        CannotRead: as for `read_bytes`.
    """
    if path == STANDARD and sys.stdin is None:
        raise CannotRead("standard input is closed. Name a file")
    try:
        stream: BinaryIO = sys.stdin.buffer if path == STANDARD else Path(path).open("rb")  # noqa: SIM115
    except OSError as failure:
        raise CannotRead(f"{path}: {_why(failure)}. Check the name and the permissions") from failure
    except ValueError as failure:
        raise CannotRead(f"{path!r}: not a file name") from failure
    with stream if path != STANDARD else nullcontext(stream):
        if path != STANDARD and stream.seekable():
            yield stream
            return
        with tempfile.TemporaryFile() as copy:
            shutil.copyfileobj(stream, copy, PIECE)
            copy.seek(0)
            yield cast(BinaryIO, copy)


def write_whole(path: str, data: bytes, *, replace: bool = False) -> None:
    """Write a file so that it is there completely or not at all; `-` is standard output.

    The bytes go to a temporary file beside the target, are forced to disk, and take its place in one step.

    Raises:
        CannotWrite: the target exists and `replace` was not said, or the place cannot be written to.
    """
    if path == STANDARD:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    try:
        target = Path(path).resolve()  # a link is followed, so that it stays one
        if target.is_dir():
            raise CannotWrite(f"{path} is a folder. Name a file")
        if target.exists() and not replace:
            raise CannotWrite(f"{path} exists and was left as it is. Say --force to replace it")
        if target.exists() and not target.is_file():
            target.write_bytes(data)  # a pipe or device takes what comes; it must not be replaced by a file
        else:
            _write_beside(target, data, replace)
    except FileExistsError as failure:
        raise CannotWrite(f"{path} exists and was left as it is. Say --force to replace it") from failure
    except OSError as failure:
        raise CannotWrite(f"{path}: {_why(failure)}. Choose another place") from failure
    except ValueError as failure:
        raise CannotWrite(f"{path!r}: not a file name") from failure


def _write_beside(target: Path, data: bytes, replace: bool) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(_mode(target))
        if replace or not _linked(part, target):
            part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def _linked(part: Path, target: Path) -> bool:
    """Give the file its name without replacing what another process put there meanwhile.

    False where the file system has no hard links; raises FileExistsError where the name is taken.
    """
    try:
        target.hardlink_to(part)
    except FileExistsError:
        raise
    except OSError:
        return False
    return True


def _mode(target: Path) -> int:
    """Return the permissions of the file that is replaced, or those that a new one would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _why(failure: OSError) -> str:
    return (failure.strerror or str(failure)).lower()
