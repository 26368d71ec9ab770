"""The course of a CGATS file: header, field names, rows, once for each table; cut at the words that ISO 28178 has.

The first line may be anything. Declared numbers of fields and rows are compared, never relied on.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from shadefmt.converters.cgats.header import Entry, Header
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.source import Line
from shadefmt.converters.cgats.tokens import BLANKS, FOLLOWED, Tokens, is_blank, tokens_of, unwrapped
from shadefmt.errors import Refused

MAX_FIELDS: Final = 4096
"""Most fields of one table."""

COUNTS: Final = ("NUMBER_OF_FIELDS", "NUMBER_OF_SETS")
BEGIN_FORMAT, END_FORMAT = "BEGIN_DATA_FORMAT", "END_DATA_FORMAT"
BEGIN_DATA, END_DATA = "BEGIN_DATA", "END_DATA"

_HEADER_WORDS: Final = frozenset(
    {
        *(*COUNTS, BEGIN_FORMAT, END_FORMAT, BEGIN_DATA, END_DATA, "KEYWORD", "ORIGINATOR", "DESCRIPTOR"),
        *("FILE_DESCRIPTOR", "CREATED", "INSTRUMENTATION", "MEASUREMENT_SOURCE", "MEASUREMENT_GEOMETRY", "ILLUMINANT"),
        *("ILLUMINATION_NAME", "OBSERVER", "OBSERVER_ANGLE", "FILTER", "SAMPLE_BACKING", "PRINT_CONDITIONS"),
        *("TARGET_TYPE", "MANUFACTURER", "MATERIAL", "PROD_DATE", "SERIAL", "WEIGHTING_FUNCTION", "TABLE_NAME"),
        *("POLARIZATION", "COMPUTATIONAL_PARAMETER", "TABLE_DESCRIPTOR"),
    }
)
"""Keywords that a file without identifier may begin with."""

_KEYWORD: Final = re.compile(r"[A-Za-z][A-Za-z0-9_.:/-]*")
_CUT: Final = "The file is cut off: export it again, whole"


@dataclass
class Table:
    """One table up to its first row.

    `tabbed` says that tabs and nothing else part the field names. `sets` is the declared number of rows.
    """

    number: int
    header: Header
    fields: list[str]
    tabbed: bool
    line: int
    sets: int | None = None


@dataclass
class Sections:
    """Takes the lines of a file; `after` are keywords and comments behind the last table.

    `trailing` tells, once all is read, that anything stands there, were it an empty comment.
    """

    lines: Iterator[Line]
    ledger: Ledger
    tables: int = 0
    after: Header | None = None
    trailing: bool = False
    last_line: int = 0
    _held: list[Line] = field(default_factory=list)

    def table(self) -> Table | None:
        """Read up to the rows of the next table; None where the file ends.

        Raises:
            Refused: the file ends where a table has begun, or holds none; rows without field names.
        """
        header, tabbed = Header(), False
        names: list[str] = []
        behind = self.last_line
        for number, line in self.numbered():
            text, tokens = self._plain(number, line, header)
            header.comments += [tokens.comment] if tokens.comment else []
            if not tokens.values:
                continue
            word = "" if tokens.quoted else tokens.values[0].upper()
            rest = text.lstrip(BLANKS)[len(word) :]
            if word == BEGIN_FORMAT:
                if names:
                    raise Refused("the table has field names twice", where=f"line {number}", remedy="Keep one of them")
                names, tabbed = self._names(number, rest)
            elif word == BEGIN_DATA:
                return self._begun(number, rest, header, names, tabbed)
            elif word in (END_FORMAT, END_DATA):
                raise Refused(f"{word} without its beginning", where=f"line {number}", remedy=_CUT)
            else:
                self._entry(number, text, tokens, header)
        self._ended(header, names)
        self.trailing = self.after is not None or self.last_line > behind
        return None

    def numbered(self) -> Iterator[Line]:
        """Yield the lines not yet taken that hold something."""
        while True:
            line = self._held.pop() if self._held else next(self.lines, None)
            if line is None:
                return
            self.last_line = max(self.last_line, line[0])
            if not is_blank(line[1]):
                yield line

    def give_back(self, number: int, text: str) -> None:
        """Have the rest of a line read again, as a line."""
        if not is_blank(text):
            self._held.append((number, text))

    def note_comment(self, number: int, tokens: Tokens) -> None:
        """Say that a comment begins inside a word."""
        if tokens.attached:
            self.ledger.notice(
                "comment-in-word",
                f"line {number}",
                "text after # was taken as a comment although no blank stands before it",
                "If it belongs to the value, have the value written in quotes",
            )

    def unwrap(self, number: int, text: str) -> str | None:
        """Return the line inside a line that is quoted as a whole, else None."""
        inside = unwrapped(text)
        if inside is not None:
            self.ledger.notice(
                "line-in-quotes",
                f"line {number}",
                "a line stands in quotes as a whole and was read without them",
                "Nothing; a spreadsheet program writes such lines",
            )
        return inside

    def _plain(self, number: int, text: str, header: Header) -> tuple[str, Tokens]:
        """A line of the header without quotes around the whole of it, and its tokens."""
        inside = unwrapped(text)
        if inside is not None and (not self._is_first(header) or _begins_header(inside)):
            self.unwrap(number, text)
            text = inside
        tokens = tokens_of(text)
        self.note_comment(number, tokens)
        return text, tokens

    def _is_first(self, header: Header) -> bool:
        return not (header.entries or header.identifier or self.tables)

    def _names(self, begun: int, rest: str) -> tuple[list[str], bool]:
        """The field names, on one line or several, and whether only tabs part them."""
        names: list[str] = []
        separators: set[str] = set()
        self.give_back(begun, rest)
        for number, text in self.numbered():
            inside = self.unwrap(number, text) if len(tokens_of(text).values) == 1 else None
            text = inside if inside is not None else text
            tokens = tokens_of(text)
            self.note_comment(number, tokens)
            if tokens.fault:
                raise Refused(tokens.fault, where=f"line {number}", remedy="Mend the field names")
            upper = [value.upper() for value in tokens.values]
            if BEGIN_DATA in upper or BEGIN_FORMAT in upper:
                break
            ended = upper.index(END_FORMAT) if END_FORMAT in upper else len(upper)
            names += tokens.values[:ended]
            separators |= set(text[: tokens.end].strip(BLANKS)) & set(BLANKS) if len(upper[:ended]) > 1 else set()
            if len(names) > MAX_FIELDS:
                what = f"the table has more than {MAX_FIELDS} fields"
                raise Refused(what, where=f"line {number}", remedy="This is no table of colour readings")
            if ended < len(upper):
                found = re.search(END_FORMAT, text, re.IGNORECASE)
                self.give_back(number, text[found.end() :] if found else "")
                return names, separators == {"\t"}
        raise Refused(f"{BEGIN_FORMAT} has no {END_FORMAT}", where=f"line {begun}", remedy=_CUT)

    def _begun(self, number: int, rest: str, header: Header, names: list[str], tabbed: bool) -> Table:
        if not names:
            raise Refused(
                f"rows without {BEGIN_FORMAT}: nothing says what their values are",
                where=f"line {number}",
                remedy=f"Put the field names between {BEGIN_FORMAT} and {END_FORMAT} before {BEGIN_DATA}",
            )
        self.tables += 1
        self.give_back(number, rest)
        table = Table(self.tables, header, names, tabbed, number)
        stated = self._count(header, "NUMBER_OF_FIELDS")
        if stated is not None and stated != len(names):
            self.mismatch(number, f"NUMBER_OF_FIELDS says {stated}, there are {len(names)} field names")
        table.sets = self._count(header, "NUMBER_OF_SETS")
        return table

    def mismatch(self, number: int, message: str) -> None:
        """Say that a declared number is wrong."""
        remedy = "The names and rows that are there were read. Ask whether the file is as it was exported"
        self.ledger.notice("count-mismatch", f"line {number}", message, remedy)

    def _count(self, header: Header, keyword: str) -> int | None:
        found = [entry for entry in header.entries if entry.keyword.upper() == keyword]
        if not found:
            return None
        text = found[-1].value.strip()
        if len(found) > 1 or not (text.isascii() and text.isdigit() and len(text) < 10):
            self.mismatch(found[-1].line, f"{keyword} is not stated once as a number")
            return None
        return int(text)

    def _entry(self, number: int, text: str, tokens: Tokens, header: Header) -> None:
        """Take a line with a keyword; its value goes to the end of the line."""
        if self._is_first(header) and (tokens.quoted or not _begins_header(text)):
            header.identifier = tokens.values[0] if len(tokens.values) == 1 else text[: tokens.end].strip(BLANKS)
            return
        keyword = "" if tokens.quoted or not _KEYWORD.fullmatch(tokens.values[0]) else tokens.values[0]
        rest = text.lstrip(BLANKS)[len(keyword) :]
        value = tokens_of(rest)
        if value.fault:
            message = f"in the header, {value.fault}; the value was read to the end of the line"
            self.ledger.notice("quotes-in-header", f"line {number}", message, "Look at the value")
        alone = value.quoted and len(value.values) == 1 and value.fault != FOLLOWED
        whole = value.values[0] if alone else rest[: value.end].strip(BLANKS)
        header.entries.append(Entry(keyword, whole, number))

    def _ended(self, header: Header, names: list[str]) -> None:
        """The file has ended outside a table."""
        where = f"line {max(self.last_line, 1)}"
        if names:
            raise Refused(f"field names without {BEGIN_DATA}", where=where, remedy=_CUT)
        if not self.tables:
            raise Refused(
                f"the file has no {BEGIN_DATA}",
                where=where,
                remedy="This is no CGATS text (ISO 28178), or the file is cut off",
            )
        if any(entry.keyword.upper() in COUNTS for entry in header.entries):
            raise Refused("the header of a table without the table", where=where, remedy=_CUT)
        if header.entries or header.comments:
            self.after = header
        if header.entries:
            self.ledger.notice(
                "keywords-after-data",
                f"line {header.entries[0].line}",
                f"keywords follow the last {END_DATA}; whether a table followed them cannot be known",
                "Ask whether the file is whole",
            )


def _begins_header(text: str) -> bool:
    """Whether a first line is already a line of the header, and not the identifier of the file."""
    words = text.split(None, 1)
    return bool(words) and words[0].upper() in _HEADER_WORDS
