"""Text from files made safe to look at, and lines of a given width. Nothing of a file reaches a terminal raw."""

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

HIDDEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode categories that are shown as escapes: controls, formats, surrogates, private, unassigned, breaks."""

JOINERS: Final = frozenset("\u200c\u200d")
"""Format characters that words of some scripts are spelled with; they move nothing on the screen."""

WIDE: Final = frozenset("WF")
"""East Asian widths that take two columns of a terminal (Unicode Standard Annex 11)."""

LEAST_ROOM: Final = 16
"""Columns that a text needs behind its head; with fewer it goes below."""

_DIGEST: Final = re.compile(r"\b([0-9a-f]{12})[0-9a-f]{52}\b")
_ASCII: Final = re.compile(r"[ -~]*")


def visible(text: str) -> str:
    """Return a text with every character that is not seen written as an escape: a backslash, u and its number.

    Escape sequences of terminals, changes of the writing direction and line breaks then stay where they are
    and do nothing.
    """
    if _ASCII.fullmatch(text):
        return text
    return "".join(map(_shown, text))


def flowing(text: str) -> str:
    """Return a remark in one line: runs of blanks and line breaks become one blank, the rest is `visible`."""
    return visible(" ".join(text.split()))


def shorter_digests(text: str) -> str:
    """Return a text with each SHA-256 cut to its first twelve digits."""
    return _DIGEST.sub("\\1...", text)


def columns(text: str) -> int:
    """Return how many columns of a terminal a visible text takes."""
    if text.isascii():
        return len(text)
    return sum(_columns_of(each) for each in text)


def wrapped(text: str, width: int, *, first: str = "", later: str | None = None) -> list[str]:
    """Return a text as lines of at most `width` columns, broken at blanks, and inside a word only if need be.

    `first` stands before the first line, `later` before the others (absent: as many blanks as `first` takes).
    A width too small for the indent is taken as eight columns of text.
    """
    rest = " " * columns(first) if later is None else later
    rooms = (max(width - columns(first), 8), max(width - columns(rest), 8))
    lines: list[str] = []
    line = ""
    for word in _pieces(text.split(" "), rooms[1]):
        longer = f"{line} {word}" if line else word
        if columns(longer) > rooms[1 if lines else 0] and (line or not lines):
            lines.append(line)
            line = word
        else:
            line = longer
    lines.append(line)
    return [f"{first if place == 0 else rest}{each}".rstrip() for place, each in enumerate(lines)]


def led(head: str, text: str, width: int) -> list[str]:
    """Return a text behind its head, or below it where the head leaves it too little room."""
    if columns(head) <= width - LEAST_ROOM:
        return wrapped(text, width, first=head, later="        ")
    indent = " " * (len(head) - len(head.lstrip(" ")))
    lines = wrapped(head.strip(" "), width, first=indent, later=f"{indent}  ")
    return lines + wrapped(text, width, first=f"{indent}    ") if text else lines


def spaced(parts: Iterable[str], width: int, gap: str = "   ", later: str = "  ") -> list[str]:
    """Return parts side by side with a gap between them, on a new line where one does not fit."""
    lines: list[str] = []
    for part in parts:
        longer = f"{lines[-1]}{gap}{part}" if lines else part
        if lines and columns(longer) <= width:
            lines[-1] = longer
        else:
            lines += wrapped(part, width, first=later if lines else "", later=later)
    return lines


def _pieces(words: Iterable[str], room: int) -> Iterable[str]:
    """Yield words, those that no line can hold in pieces."""
    for word in words:
        while columns(word) > room:
            end = len(word)
            while columns(word[:end]) > room:
                end -= max((columns(word[:end]) - room) // 2, 1)
            yield word[:end]
            word = word[end:]
        if word:
            yield word


def _shown(character: str) -> str:
    if character in JOINERS or unicodedata.category(character) not in HIDDEN:
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _columns_of(character: str) -> int:
    if unicodedata.combining(character) or character in JOINERS:
        return 0
    return 2 if unicodedata.east_asian_width(character) in WIDE else 1
