"""One line of CGATS text cut into tokens: blanks or tabs part them, quotes hold them together, `#` ends the line.

Inside quotes a quote is doubled and `#` is an ordinary character.
"""

import re
from typing import Final, NamedTuple

BLANKS: Final = " \t\f\v\x1c\x1d\x1e\x1f"
"""What parts tokens: those ASCII characters that `str.split` takes for blanks, line ends apart."""

_B: Final = r" \t\f\v\x1c-\x1f"
_QUOTED: Final = r'"([^"]*+(?:""[^"]*+)*+)("?)'
_TOKEN: Final = re.compile(rf'[{_B}]*+(?:{_QUOTED}|([^{_B}"#][^{_B}#]*+))')
_CELL: Final = re.compile(rf'[ \f\v]*+(?:{_QUOTED}[ \f\v]*+|([^\t"#][^\t#]*+)|)(?=\t|#|$)')
_WHOLE: Final = re.compile(rf"[{_B}]*+{_QUOTED}[{_B}]*+")

UNCLOSED: Final = "a quote is not closed"
FOLLOWED: Final = "text follows a closing quote; a quote inside a string is written twice"


class Tokens(NamedTuple):
    """The tokens of a line without their quotes.

    `end` is where the last one ends, `quoted` says whether the first one has quotes. `comment` is the text
    after `#`, empty where there is none; `attached` that it follows an unquoted token without a blank. `fault`
    says what is wrong with the quotes.
    """

    values: list[str]
    end: int
    quoted: bool
    comment: str
    attached: bool
    fault: str


def tokens_of(text: str) -> Tokens:
    """Return the tokens that blanks and tabs part."""
    values: list[str] = []
    place, fault, bare = 0, "", False
    while found := _TOKEN.match(text, place):
        place = found.end()
        bare = found[3] is not None
        if bare:
            values.append(found[3])
            continue
        values.append(found[1].replace('""', '"'))
        if not found[2]:
            fault = UNCLOSED
        elif place < len(text) and text[place] not in BLANKS + "#":
            fault = FOLLOWED
    comment, attached = _comment(text, place)
    return Tokens(values, place, text.lstrip(BLANKS).startswith('"'), comment, attached and bare, fault)


def cells_of(text: str) -> Tokens:
    """Return the cells that tabs part, blanks around them left out; an empty cell is an empty text."""
    values: list[str] = []
    place, fault, bare = 0, "", False
    while True:
        found = _CELL.match(text, place)
        if found is None:
            return Tokens(values, place, False, "", False, FOLLOWED)
        bare = found[3] is not None
        values.append(found[3].rstrip(BLANKS) if bare else (found[1] or "").replace('""', '"'))
        if found[1] is not None and not found[2]:
            fault = UNCLOSED
        place = found.end()
        if not text.startswith("\t", place):
            break
        place += 1
    comment, attached = _comment(text, place)
    attached = attached and bare and text[place - 1] not in BLANKS
    return Tokens(values, place, text.lstrip(BLANKS).startswith('"'), comment, attached, fault)


def _comment(text: str, place: int) -> tuple[str, bool]:
    """The comment that begins at a place or after blanks, and whether it begins right there."""
    rest = text[place:].lstrip(BLANKS)
    return (rest[1:].strip(), text.startswith("#", place)) if rest.startswith("#") else ("", False)


def unwrapped(text: str) -> str | None:
    """Return what is inside a line that is one quoted string as a whole, as spreadsheets write it; else None."""
    found = _WHOLE.fullmatch(text)
    return found[1].replace('""', '"') if found is not None and found[2] else None


def is_blank(text: str) -> bool:
    """Return whether a line holds nothing; the end mark of old systems (0x1A) is nothing."""
    return not text.strip(BLANKS + "\x1a")
