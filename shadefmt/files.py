"""Reading whole files and writing them whole or not at all."""

import io
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

    Raises:
        CannotWrite: as for `whole`.
    """
    if path == STANDARD:
        _to_standard_output(io.BytesIO(data))
        return
    with whole(path, replace=replace) as stream:
        try:
            stream.write(data)
        except OSError as failure:
            raise _cannot_write(path, failure) from failure


@contextmanager
def whole(path: str, *, replace: bool = False) -> Iterator[BinaryIO]:
    """Yield a stream whose bytes are the file once the block ends, and nothing where it raises; `-` is standard output.

    The bytes go to a temporary file beside the target, are forced to disk, and take its place in one step. What
    goes to standard output, a pipe or a device is held back in a temporary file until it is complete.

    Raises:
        CannotWrite: the target exists and `replace` was not said, or the place cannot be written to.
    """
    if path == STANDARD:
        with _held_back() as stream:
            yield stream
            _to_standard_output(stream)
        return
    try:
        target = Path(path).resolve()  # a link is followed, so that it stays one
        _demand_free(target, path, replace)
    except OSError as failure:
        raise _cannot_write(path, failure) from failure
    except ValueError as failure:
        raise CannotWrite(f"{path!r}: not a file name") from failure
    if target.exists() and not target.is_file():
        with _held_back() as stream:
            yield stream
            _into_device(path, target, stream)
    else:
        with _beside(path, target, replace) as stream:
            yield stream


def _demand_free(target: Path, path: str, replace: bool) -> None:
    if target.is_dir():
        raise CannotWrite(f"{path} is a folder. Name a file")
    if target.exists() and not replace:
        raise CannotWrite(f"{path} exists and was left as it is. Say --force to replace it")


@contextmanager
def _held_back() -> Iterator[BinaryIO]:
    with tempfile.SpooledTemporaryFile(max_size=PIECE) as stream:
        yield cast(BinaryIO, stream)


def _to_standard_output(stream: BinaryIO) -> None:
    stream.seek(0)
    shutil.copyfileobj(stream, sys.stdout.buffer, PIECE)
    sys.stdout.buffer.flush()


def _into_device(path: str, target: Path, stream: BinaryIO) -> None:
    """Hand a pipe or device what is for it; it must not be replaced by a file."""
    stream.seek(0)
    try:
        with target.open("wb") as device:
            shutil.copyfileobj(stream, device, PIECE)
    except OSError as failure:
        raise _cannot_write(path, failure) from failure


@contextmanager
def _beside(path: str, target: Path, replace: bool) -> Iterator[BinaryIO]:
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
    except OSError as failure:
        raise _cannot_write(path, failure) from failure
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            _settle(path, file, part, target, replace)
    finally:
        part.unlink(missing_ok=True)


def _settle(path: str, file: BinaryIO, part: Path, target: Path, replace: bool) -> None:
    """Force a complete file to disk and give it its name."""
    try:
        file.flush()
        os.fsync(file.fileno())
        part.chmod(_mode(target))
        if replace or not _linked(part, target):
            part.replace(target)
    except FileExistsError as failure:
        raise CannotWrite(f"{path} exists and was left as it is. Say --force to replace it") from failure
    except OSError as failure:
        raise _cannot_write(path, failure) from failure


def _cannot_write(path: str, failure: OSError) -> CannotWrite:
    return CannotWrite(f"{path}: {_why(failure)}. Choose another place")


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
