"""A spreadsheet as a ZIP archive: every part is unpacked once, counted, before anything is made of it."""

import io
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from shadefmt.errors import Refused
from shadefmt.limits import MAX_BUNDLE_ENTRIES, MAX_SPREADSHEET_BYTES

_BLOCK: Final = 1 << 20
_AGAIN: Final = "the file is cut off or damaged; ask for it again"


@contextmanager
def opened(data: bytes) -> Iterator[zipfile.ZipFile]:
    """Open a spreadsheet of which every part is sound and all together are within the limits.

    Raises:
        Refused: it is damaged, too large, encrypted, or has two parts of one name.
    """
    if len(data) > MAX_SPREADSHEET_BYTES:
        raise _too_large()
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _demand_sound(archive)
            yield archive
    except (
        zipfile.BadZipFile,
        NotImplementedError,
        RuntimeError,
        EOFError,
        ValueError,
        OSError,
        zlib.error,
    ) as failure:
        raise Refused(f"the spreadsheet is no sound ZIP archive ({failure})", remedy=_AGAIN) from None


def _demand_sound(archive: zipfile.ZipFile) -> None:
    entries = archive.infolist()
    names = {each.filename.casefold() for each in entries}
    if len(entries) > MAX_BUNDLE_ENTRIES or sum(each.file_size for each in entries) > MAX_SPREADSHEET_BYTES:
        raise _too_large()
    if len(names) < len(entries):
        raise Refused("the spreadsheet has two parts of one name", remedy="save it anew")
    for entry in entries:
        if entry.flag_bits & 1:
            raise Refused("the spreadsheet is encrypted", remedy="save it without a password")
        with archive.open(entry) as part:
            while part.read(_BLOCK):  # to its end, where its check sum is compared
                pass


def _too_large() -> Refused:
    return Refused(f"the spreadsheet is larger than {MAX_SPREADSHEET_BYTES} bytes", remedy="this is no table")
