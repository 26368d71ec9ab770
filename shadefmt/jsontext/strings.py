"""Strings of a JSON text: escapes, control characters, surrogates (RFC 8259, section 7)."""

from typing import NoReturn

from shadefmt.jsontext import faults, tokens
from shadefmt.jsontext.trail import Trail

_HIGH = range(0xD800, 0xDC00)
_LOW = range(0xDC00, 0xE000)
_UNIT = 6
"""Characters of one \\uXXXX escape."""


class StringReader:
    """Reads the strings of `text`, noting faults on `trail`."""

    def __init__(self, text: str, trail: Trail) -> None:
        self._text = text
        self._trail = trail

    def read(self, start: int) -> tuple[str, int]:
        """The string whose opening quote is at `start`, and the index behind its closing quote."""
        whole = tokens.PLAIN_STRING.match(self._text, start)
        if whole:
            return whole[1], whole.end()
        return self._read_in_parts(start)

    def _read_in_parts(self, start: int) -> tuple[str, int]:
        parts: list[str] = []
        at = start + 1
        while True:
            plain = tokens.PLAIN.match(self._text, at)
            end = plain.end() if plain else at
            parts.append(self._text[at:end])
            character = self._text[end : end + 1]
            if character == '"':
                return "".join(parts), end + 1
            if character == "\\":
                piece, at = self._escape(end, start)
                parts.append(piece)
            elif character == "":
                self._unfinished(start)
            else:
                shown = tokens.code_point(character)
                self._trail.halt(faults.STRING_CONTROL_CHARACTER, end, character=shown)

    def _escape(self, at: int, start: int) -> tuple[str, int]:
        """What the escape at `at` stands for, and the index behind it."""
        letter = self._text[at + 1 : at + 2]
        if letter in tokens.ESCAPES:
            return tokens.ESCAPES[letter], at + 2
        if letter != "u":
            self._invalid(at, 2, start)
        high = self._unit(at, start)
        if high not in _HIGH and high not in _LOW:
            return chr(high), at + _UNIT
        if high in _HIGH and self._text.startswith("\\u", at + _UNIT):
            digits = tokens.HEX4.match(self._text, at + _UNIT + 2)
            low = int(digits.group(), 16) if digits else 0
            if low in _LOW:
                return chr(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00)), at + 2 * _UNIT
        self._trail.note(faults.SURROGATE_LONE, at, escape=self._text[at : at + _UNIT])
        return chr(high), at + _UNIT

    def _unit(self, at: int, start: int) -> int:
        digits = tokens.HEX4.match(self._text, at + 2)
        if digits is None:
            self._invalid(at, _UNIT, start)
        return int(digits.group(), 16)

    def _invalid(self, at: int, length: int, start: int) -> NoReturn:
        """End the reading at an escape that is none, or that the end of the text cuts."""
        body = self._text[at + 2 : at + length]
        if at + length > len(self._text) and all(digit in "0123456789abcdefABCDEF" for digit in body):
            self._unfinished(start)
        self._trail.halt(faults.ESCAPE_INVALID, at, escape=tokens.excerpt(self._text[at : at + length]))

    def _unfinished(self, start: int) -> NoReturn:
        self._trail.halt(faults.TEXT_UNFINISHED, len(self._text), ("begun", start), open="string")
