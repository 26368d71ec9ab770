"""Files are read whole or refused with a reason, and written whole or not at all."""

import contextlib
import io
import os
import stat
import sys
from pathlib import Path

import pytest

from shadefmt import files
from shadefmt.errors import CannotRead, CannotWrite
from shadefmt.files import read_bytes, write_whole

AS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def names_in(folder: Path) -> list[str]:
    return [each.name for each in folder.iterdir()]


def test_bytes_come_back_as_they_were_written(tmp_path: Path) -> None:
    data = bytes(range(256)) * 100
    write_whole(str(tmp_path / "a"), data)
    assert read_bytes(str(tmp_path / "a")) == data
    assert names_in(tmp_path) == ["a"]


@pytest.mark.parametrize("name", ["missing", "no/such/folder/file", "", "a\0b", "x" * 5000])
def test_what_cannot_be_read_is_said(tmp_path: Path, name: str) -> None:
    with pytest.raises(CannotRead):
        read_bytes(f"{tmp_path}/{name}")


@pytest.mark.parametrize("name", ["no/such/folder/file", "a\0b", "x" * 5000])
def test_what_cannot_be_written_is_said_and_leaves_nothing(tmp_path: Path, name: str) -> None:
    with pytest.raises(CannotWrite):
        write_whole(str(tmp_path / name), b"x")
    assert names_in(tmp_path) == []


def test_a_folder_is_no_target(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="folder"):
        write_whole(str(tmp_path), b"x", replace=True)


def test_an_existing_file_stays_unless_told(tmp_path: Path) -> None:
    target = tmp_path / "a"
    target.write_bytes(b"old")
    with pytest.raises(CannotWrite, match="--force"):
        write_whole(str(target), b"new")
    assert target.read_bytes() == b"old"
    write_whole(str(target), b"new", replace=True)
    assert target.read_bytes() == b"new"
    assert names_in(tmp_path) == ["a"]


def test_a_file_that_appears_meanwhile_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "a"

    def appears(handle: int) -> None:
        target.write_bytes(b"of another process")

    monkeypatch.setattr(os, "fsync", appears)
    with pytest.raises(CannotWrite, match="exists"):
        write_whole(str(target), b"mine")
    assert target.read_bytes() == b"of another process"
    assert names_in(tmp_path) == ["a"]


@pytest.mark.parametrize("breaks", ["fsync", "chmod", "replace"])
def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, breaks: str) -> None:
    target = tmp_path / "a"
    target.write_bytes(b"old")

    def broken(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", broken) if breaks == "fsync" else monkeypatch.setattr(Path, breaks, broken)
    with pytest.raises(CannotWrite, match="no space left"):
        write_whole(str(target), b"new", replace=True)
    assert target.read_bytes() == b"old"
    assert names_in(tmp_path) == ["a"]


def test_stopping_while_writing_leaves_nothing_half_done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_whole(str(tmp_path / "a"), b"new")
    assert names_in(tmp_path) == []


def test_without_hard_links_a_new_file_is_still_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(Path, "hardlink_to", refuses)
    write_whole(str(tmp_path / "a"), b"new")
    assert (tmp_path / "a").read_bytes() == b"new"
    assert names_in(tmp_path) == ["a"]


def test_permissions_are_those_of_a_new_file_or_of_the_one_replaced(tmp_path: Path) -> None:
    target = tmp_path / "a"
    (tmp_path / "plain").write_bytes(b"x")
    write_whole(str(target), b"x")
    assert stat.S_IMODE(target.stat().st_mode) == stat.S_IMODE((tmp_path / "plain").stat().st_mode)
    target.chmod(0o600)
    write_whole(str(target), b"y", replace=True)
    assert stat.S_IMODE(target.stat().st_mode) == 0o600


@pytest.mark.skipif(AS_ROOT, reason="permissions do not bind this user")
def test_a_folder_without_permission_is_said(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o500)
    with pytest.raises(CannotWrite, match="permission denied"):
        write_whole(str(folder / "a"), b"x")


def test_names_at_the_limit_of_the_file_system_are_written(tmp_path: Path) -> None:
    name = "a" * (255 - len(".shade.json")) + ".shade.json"
    write_whole(str(tmp_path / name), b"x")
    assert names_in(tmp_path) == [name]


def test_a_dash_is_standard_input_and_output(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"\xff in")))
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out))
    assert read_bytes(files.STANDARD) == b"\xff in"
    write_whole(files.STANDARD, b"\xfe out")
    assert out.getvalue() == b"\xfe out"


def test_a_link_is_written_as_the_file_it_leads_to(tmp_path: Path) -> None:
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_whole(str(tmp_path / "link"), b"new", replace=True)
    assert (tmp_path / "link").read_bytes() == b"new"
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"new"


def test_what_is_no_file_is_written_into_or_refused_and_stays(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        with contextlib.suppress(CannotWrite):
            write_whole(str(pipe), b"through", replace=True)
        assert pipe.is_fifo()
    finally:
        os.close(reader)
