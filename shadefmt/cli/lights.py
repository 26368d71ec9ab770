"""A light of the user's own: a small file of wavelength and power, one pair a line."""

import re
from typing import NamedTuple

from shadefmt.errors import Refused
from shadefmt.files import read_bytes

MOST_LINES = 10_000


class Light(NamedTuple):
    """Relative spectral power at wavelengths in nm, under the name of its file."""

    name: str
    wavelengths: tuple[float, ...]
    powers: tuple[float, ...]


def read_light(path: str) -> Light:
    """Read a light; a first line without numbers is a heading, and lines that begin with # are left out.

    Raises:
        CannotRead: the file cannot be read.
        Refused: it is no text, or a line is no pair of numbers.
    """
    try:
        lines = read_bytes(path).decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise Refused("A light is text.", where=path, remedy="Write wavelength,power, one pair a line.") from None
    if len(lines) > MOST_LINES:
        raise Refused(f"A light has at most {MOST_LINES} lines.", where=path, remedy="Give one line a nanometre.")
    pairs: list[tuple[float, float]] = []
    for number, line in enumerate(lines, 1):
        if not line.strip() or line.startswith("#"):
            continue
        found = _pair(line)
        if found is not None:
            pairs.append(found)
        elif pairs or number > 1:
            raise Refused(
                f"{line.strip()[:60]!r} is no wavelength and power.",
                where=f"{path}, line {number}",
                remedy="Write two numbers with decimal points, as 450,0.83.",
            )
    return Light(path, tuple(one for one, _ in pairs), tuple(two for _, two in pairs))


def _pair(line: str) -> tuple[float, float] | None:
    parts = re.split(r"[,;\s]+", line.strip())
    try:
        one, two = map(float, parts)
    except ValueError:
        return None
    return one, two
