"""Bundles: what is in them is compared, nothing leads out of them, nothing is unpacked without a bound."""

import hashlib
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt import bundles
from shadefmt.bundles import beside, is_safe, is_zip, zip_bundle
from shadefmt.checking import check
from shadefmt.errors import Refused

PICTURE = b"not really a picture"
CASE: dict[str, Any] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "case",
    "id": "urn:uuid:7c9e6679-7425-40de-944b-e07fc1f90ae7",
    "specimens": [{"id": "tooth", "kind": "tooth", "tooth": "11"}],
    "readings": [
        {
            "id": "reading-1",
            "specimen_id": "tooth",
            "zone": "middle",
            "colours": [
                {
                    "illuminant": "D65",
                    "observer": "2-degree",
                    "decimals": 1,
                    "origin": "instrument",
                    "lab": {"L": 74.5, "a": 1.2, "b": 16.1},
                }
            ],
        }
    ],
    "attachments": [
        {
            "id": "photo",
            "path": "photos/front.jpg",
            "media_type": "image/jpeg",
            "size_bytes": len(PICTURE),
            "sha256": hashlib.sha256(PICTURE).hexdigest(),
        }
    ],
}


def document(**changes: Any) -> bytes:
    case = json.loads(json.dumps(CASE))
    case["attachments"][0] |= changes
    return json.dumps(case).encode()


def zipped(files: dict[str, bytes]) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return target.getvalue()


def codes(report: Any) -> list[tuple[str, str]]:
    return [(each.code, each.pointer) for each in report.findings or () if each.severity == "error"]


def test_files_beside_a_document_are_compared(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "front.jpg").write_bytes(PICTURE)
    path = str(tmp_path / "case.shade.json")
    sound = check(document(), attachments=beside(path))
    assert codes(sound) == []
    assert sound.not_supplied is None
    other = check(document(sha256="0" * 64), attachments=beside(path))
    assert codes(other) == [("attachment-differs", "/attachments/0/sha256")]
    longer = check(document(size_bytes=1), attachments=beside(path))
    assert codes(longer) == [("attachment-differs", "/attachments/0/size_bytes")]


def test_a_file_that_is_not_there_is_not_supplied(tmp_path: Path) -> None:
    report = check(document(), attachments=beside(str(tmp_path / "case.shade.json")))
    assert [each.name for each in report.not_supplied or ()] == ["photos/front.jpg"]
    assert report.outcome == "valid"


@pytest.mark.parametrize(
    "path", ["/etc/passwd", "../secret", "a/../../b", "a\\b", "c:x", "a//b", "", ".", "a/.", ".hidden", "ü.jpg", "a\n"]
)
def test_paths_that_lead_out_are_never_followed(tmp_path: Path, path: str) -> None:
    assert not is_safe(path)
    assert beside(str(tmp_path / "case.shade.json"))(path) is None
    if path:
        assert ("attachment-path-unsafe", "/attachments/0/path") in codes(check(document(path=path)))


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_bytes(PICTURE)
    inside = tmp_path / "inside"
    inside.mkdir()
    (inside / "photo").symlink_to(secret)
    assert beside(str(inside / "case.shade.json"))("photo") is None


def test_an_archive_is_a_bundle() -> None:
    data = zipped({"case.shade.json": document(), "photos/front.jpg": PICTURE})
    assert is_zip(data)
    bundle = zip_bundle(data, "bundle.zip")
    report = check(bundle.document, attachments=bundle.attachments)
    assert (codes(report), report.not_supplied) == ([], None)
    damaged = zip_bundle(zipped({"case.shade.json": document(), "photos/front.jpg": b"x"}), "bundle.zip")
    assert codes(check(damaged.document, attachments=damaged.attachments)) == [
        ("attachment-differs", "/attachments/0/sha256")
    ]


@pytest.mark.parametrize(
    ("files", "what"),
    [
        ({}, "0 documents"),
        ({"a.shade.json": b"{}", "b.shade.json": b"{}"}, "2 documents"),
        ({"below/a.shade.json": b"{}"}, "0 documents"),
        ({"a.shade.json": b"{}", "../b": b""}, "not safe"),
        ({"a.shade.json": b"{}", "x/B": b"", "x/b": b""}, "twice"),
    ],
)
def test_odd_archives_are_refused(files: dict[str, bytes], what: str) -> None:
    with pytest.raises(Refused, match=what):
        zip_bundle(zipped(files), "bundle.zip")


def test_an_archive_with_too_much_in_it_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    data = zipped({"case.shade.json": document(), "big": b"\0" * 200_000})
    monkeypatch.setattr(bundles, "MAX_BUNDLE_BYTES", 100_000)
    with pytest.raises(Refused, match="too large"):
        zip_bundle(data, "bundle.zip")
    monkeypatch.setattr(bundles, "MAX_BUNDLE_ENTRIES", 1)
    with pytest.raises(Refused, match="2 files"):
        zip_bundle(data, "bundle.zip")


def test_an_archive_cut_anywhere_is_refused() -> None:
    data = zipped({"case.shade.json": document(), "photos/front.jpg": PICTURE})
    for end in range(4, len(data)):
        with pytest.raises(Refused):
            zip_bundle(data[:end], "bundle.zip")


@given(st.binary(max_size=300))
def test_arbitrary_bytes_are_refused_and_nothing_else(data: bytes) -> None:
    with pytest.raises(Refused):
        zip_bundle(b"PK\x03\x04" + data, "bundle.zip")


def packed(compression: int = zipfile.ZIP_DEFLATED, mode: int = 0) -> bytes:
    """An archive with a case and one picture, packed in a way and with a file mode of Unix."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr("case.shade.json", json.dumps(CASE), compress_type=zipfile.ZIP_DEFLATED)
        picture = zipfile.ZipInfo("photo.png")
        picture.external_attr = mode << 16
        archive.writestr(picture, PICTURE, compress_type=compression)
    return target.getvalue()


@pytest.mark.parametrize("compression", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_only_what_every_program_unpacks_is_unpacked(compression: int) -> None:
    """APPNOTE.TXT of ZIP names many methods; stored and deflated are those of ISO/IEC 21320-1."""
    with pytest.raises(Refused, match="packed in an unusual way"):
        zip_bundle(packed(compression), "b.zip")
    assert zip_bundle(packed(), "b.zip").name == "b.zip/case.shade.json"


def test_a_link_in_an_archive_is_refused() -> None:
    with pytest.raises(Refused, match="is a link to a file"):
        zip_bundle(packed(mode=0o120777), "b.zip")
    assert zip_bundle(packed(mode=0o100644), "b.zip").name == "b.zip/case.shade.json"


def test_an_archive_with_any_byte_changed_is_read_or_refused() -> None:
    whole = packed()
    for place in range(len(whole)):
        for flipped in (0x01, 0x80, 0xFF):
            spoilt = bytearray(whole)
            spoilt[place] ^= flipped
            try:
                bundle = zip_bundle(bytes(spoilt), "b.zip")
                bundle.attachments("photo.png")
            except Refused:
                continue
