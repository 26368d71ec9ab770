"""What reading one JSON text gives: a value, or the faults that were found and where they stand."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

ENCODING_NOT_UTF8 = "syntax-encoding-not-utf8"
BYTE_ORDER_MARK = "syntax-byte-order-mark"
EMPTY = "syntax-empty"
UNEXPECTED = "syntax-unexpected"
TEXT_UNFINISHED = "syntax-text-unfinished"
TRAILING_CONTENT = "syntax-trailing-content"
MEMBER_DUPLICATE = "syntax-member-duplicate"
NUMBER_NOT_FINITE = "syntax-number-not-finite"
INTEGER_UNSAFE = "syntax-integer-unsafe"
NUMBER_MALFORMED = "syntax-number-malformed"
STRING_CONTROL_CHARACTER = "syntax-string-control-character"
SURROGATE_LONE = "syntax-surrogate-lone"
ESCAPE_INVALID = "syntax-escape-invalid"
TOO_DEEP = "syntax-too-deep"
TOO_LARGE = "syntax-too-large"

MAX_FAULTS = 1000
"""Most faults that are listed for one text, beside the one that ends the reading; the rest are counted."""

Param = str | int | float


@dataclass(frozen=True, slots=True)
class Position:
    """A place in a text.

    `line` and `column` start at 1; a line ends at LF, CR LF or CR; `column` counts Unicode characters,
    without a byte order mark. `offset` counts bytes from the start of the data and starts at 0.
    """

    line: int
    column: int
    offset: int


@dataclass(frozen=True, slots=True)
class SyntaxFault:
    """One thing in a text that the syntax stage does not accept.

    `params` per code:

    ===============================  =========================================================================
    syntax-encoding-not-utf8         `detected` (UTF-16LE, UTF-16BE, UTF-32LE, UTF-32BE, unknown),
                                     `byte_offset`
    syntax-byte-order-mark           none
    syntax-empty                     none
    syntax-unexpected                `found`, `expected`
    syntax-text-unfinished           `open` (object, array, string, number, word, character), `begun_line`,
                                     `begun_column`
    syntax-trailing-content          `found`
    syntax-member-duplicate          `name`, `first_line`, `first_column`
    syntax-number-not-finite         `number`
    syntax-integer-unsafe            `number`, `limit`
    syntax-number-malformed          `number`
    syntax-string-control-character  `character` (U+000A form)
    syntax-surrogate-lone            `escape`
    syntax-escape-invalid            `escape`
    syntax-too-deep                  `limit`
    syntax-too-large                 `size_bytes`, `limit_bytes`
    ===============================  =========================================================================

    Excerpts in params are shortened. `pointer` (RFC 6901) names the value being read, or the nearest ancestor
    whose pointer is of sensible length; None where nothing has been opened. `related` is the earlier place:
    the first member of that name, or where what is unfinished began.
    """

    code: str
    params: Mapping[str, Param]
    line: int
    column: int
    offset: int
    pointer: str | None = None
    related: Position | None = None


@dataclass(frozen=True, slots=True)
class Decoded:
    """The outcome of reading one JSON text.

    `value` holds dict, list, str, int, float, bool and None; it is None where there is none, that is, with
    any fault but a byte order mark. `faults` are in order of place; `omitted` says how many more there were
    than `faults` lists.
    """

    value: Any
    faults: tuple[SyntaxFault, ...] = field(default=())
    omitted: int = 0

    @property
    def has_value(self) -> bool:
        """Whether `value` was read (it may be the JSON value null, which is None too)."""
        return self.omitted == 0 and all(fault.code == BYTE_ORDER_MARK for fault in self.faults)
