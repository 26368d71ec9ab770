"""Files of many documents: plain, gzip, zstd; a file cut anywhere is never a shorter one."""

import gzip
from collections.abc import Callable
from pathlib import Path

import pytest
import zstandard

from shadefmt.errors import CannotRead, Refused
from shadefmt.limits import MAX_DOCUMENT_BYTES
from shadefmt.streams import document_lines, holds_lines

LINES = [b'{"a": %d}' % number for number in range(400)]
TEXT = b"\n".join(LINES) + b"\n"

PACKERS: dict[str, Callable[[bytes], bytes]] = {
    "cases.ndjson": bytes,
    "cases.ndjson.gz": gzip.compress,
    "cases.ndjson.zst": zstandard.ZstdCompressor().compress,
}


@pytest.mark.parametrize("name", PACKERS)
def test_lines_come_with_their_numbers(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(PACKERS[name](b"\n" + TEXT + b"  \r\n"))
    assert holds_lines(name)
    assert list(document_lines(str(path))) == [(number, line) for number, line in enumerate(LINES, 2)]


@pytest.mark.parametrize("name", ["cases.ndjson.gz", "cases.ndjson.zst"])
def test_packed_files_cut_anywhere_are_refused(tmp_path: Path, name: str) -> None:
    path, packed = tmp_path / name, PACKERS[name](TEXT)
    for end in range(4, len(packed), 7):
        path.write_bytes(packed[:end])
        with pytest.raises(Refused, match="damaged or cut off"):
            list(document_lines(str(path)))


@pytest.mark.parametrize("name", ["cases.ndjson.gz", "cases.ndjson.zst"])
def test_members_one_after_the_other_are_one_file(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(PACKERS[name](TEXT) + PACKERS[name](TEXT))
    assert [line for _, line in document_lines(str(path))] == LINES * 2


def test_a_line_beyond_the_limit_is_cut_and_the_next_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "long.ndjson"
    path.write_bytes(b"x" * (MAX_DOCUMENT_BYTES + 100) + b"\nshort\n")
    found = list(document_lines(str(path)))
    assert [(number, len(line) > MAX_DOCUMENT_BYTES) for number, line in found] == [(1, True), (2, False)]
    assert found[1][1] == b"short"


def test_a_missing_file_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(CannotRead, match="no such file"):
        list(document_lines(str(tmp_path / "nothing.ndjson")))
