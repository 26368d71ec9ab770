"""The exact reader: one text to a value, every fault placed. Iterative, linear in time, bounded in depth.

Faults after which the grammar still tells what follows (duplicate members, numbers that are not finite,
unsafe integers, lone surrogates, depth) are noted and reading goes on; a fault of the grammar ends it.
"""

import math
from typing import Any, NoReturn

from shadefmt.jsontext import faults, numbers, tokens
from shadefmt.jsontext.strings import StringReader
from shadefmt.jsontext.trail import Frame, GrammarError, Trail, Wanted
from shadefmt.limits import MAX_DEPTH, MAX_SAFE_INTEGER

_MEMBER = "a member name in double quotes"
_VALUE = "a value"


class Reader:
    """Reads `text` once. After `read`, `trail` holds the faults and `value` what was read, if there are none.

    `wanted` is a tree of places whose positions are to be noted on the way.
    """

    def __init__(self, text: str, wanted: Wanted | None = None) -> None:
        self.value: Any = None
        self.trail = Trail()
        self._text = text
        self._at = 0
        self._frames = self.trail.frames
        self._strings = StringReader(text, self.trail)
        self._wanted = wanted

    def read(self) -> None:
        """Read the whole text; never raises."""
        try:
            if self._skip_space() == "":
                self.trail.halt(faults.EMPTY, len(self._text))
            self._read_value(_VALUE)
            while self._frames:
                frame = self._frames[-1]
                if frame.is_object:
                    self._next_member(frame)
                else:
                    self._next_item(frame)
            if self._skip_space():
                self.trail.halt(faults.TRAILING_CONTENT, self._at, found=self._found())
        except GrammarError:
            self.value = None

    def _skip_space(self) -> str:
        """Go to the next character that is not white space; "" at the end of the text."""
        character = self._text[self._at : self._at + 1]
        if character not in " \t\n\r":  # which the empty one is
            return character
        match = tokens.SPACE.match(self._text, self._at)
        self._at = match.end() if match else self._at
        return self._text[self._at : self._at + 1]

    def _next_item(self, frame: Frame) -> None:
        frame.step = None
        character = self._skip_space()
        if character == "]":
            return self._close()
        if frame.count:
            self._expect(",", "',' or ']'", character)
            self._skip_space()
        frame.step_to(frame.count)
        return self._read_value(_VALUE if frame.count > 1 else "a value or ']'")

    def _next_member(self, frame: Frame) -> None:
        frame.step = None
        character = self._skip_space()
        if character == "}":
            return self._close()
        if frame.count:
            self._expect(",", "',' or '}'", character)
            character = self._skip_space()
        if character != '"':
            self._unexpected(_MEMBER if frame.count else f"{_MEMBER} or '}}'", character)
        self._read_name(frame)
        self._expect(":", "':'", self._skip_space())
        self._skip_space()
        return self._read_value(_VALUE)

    def _read_name(self, frame: Frame) -> None:
        at = self._at
        name, self._at = self._strings.read(at)
        frame.step_to(name)
        first = frame.names.setdefault(name, at)
        if first != at:
            self.trail.note(faults.MEMBER_DUPLICATE, at, ("first", first), name=tokens.excerpt(name))

    def _expect(self, character: str, expected: str, found: str) -> None:
        if found != character:
            self._unexpected(expected, found)
        self._at += 1

    def _close(self) -> None:
        self._at += 1
        self._frames.pop()

    def _read_value(self, expected: str) -> None:
        """Read the value that begins here; a container is opened and its frame left for the main loop."""
        at = self._at
        character = self._text[at : at + 1]
        wanted = self._frames[-1].wanted_here() if self._frames else self._wanted
        if wanted is not None:
            wanted.note(at)
        if character == '"':
            value, self._at = self._strings.read(at)
            self._deliver(value)
        elif character in ("{", "["):
            self._open(character == "{", wanted)
        elif character and character in "-0123456789":
            self._deliver(self._read_number())
        else:
            self._deliver(self._read_word(expected, character))

    def _deliver(self, value: Any) -> None:
        if self._frames:
            self._frames[-1].add(value)
        else:
            self.value = value

    def _open(self, is_object: bool, wanted: Wanted | None) -> None:
        if len(self._frames) >= MAX_DEPTH:
            self.trail.note(faults.TOO_DEEP, self._at, limit=MAX_DEPTH)
            self._skip_container(is_object)
            return
        frame = Frame(is_object, self._at, wanted)
        self._deliver(frame.container)
        self._frames.append(frame)
        self._at += 1

    def _skip_container(self, is_object: bool) -> None:
        """Go behind a container that lies too deep without looking into it: nothing may grow with depth."""
        start, depth = self._at, 0
        for match in tokens.BRACKETS_OR_STRING.finditer(self._text, start):
            token = match.group()
            if token[0] in "[{":
                depth += len(token)
            elif token[0] != '"':
                if depth <= len(token):
                    self._at = match.start() + depth
                    return
                depth -= len(token)
        self._unfinished("object" if is_object else "array", start)

    def _read_number(self) -> int | float:
        at = self._at
        if tokens.NOT_FINITE.match(self._text, at):
            return self._read_not_finite()
        match = numbers.GRAMMAR.match(self._text, at)
        like = tokens.NUMBER_LIKE.match(self._text, at)
        text = like.group() if like else ""
        if match is None or match.group() != text:
            self._malformed_number(text)
        self._at += len(text)
        number = numbers.value_of(text)
        if number is None:
            self.trail.note(faults.INTEGER_UNSAFE, at, number=tokens.excerpt(text), limit=MAX_SAFE_INTEGER)
            return 0
        if not math.isfinite(number):
            self.trail.note(faults.NUMBER_NOT_FINITE, at, number=tokens.excerpt(text))
            return 0
        return number

    def _malformed_number(self, text: str) -> NoReturn:
        if self._at + len(text) == len(self._text) and tokens.NUMBER_BEGUN.fullmatch(text):
            self._unfinished("number", self._at)
        self.trail.halt(faults.NUMBER_MALFORMED, self._at, number=tokens.excerpt(text))

    def _read_not_finite(self) -> int:
        match = tokens.NOT_FINITE.match(self._text, self._at)
        text = match.group() if match else ""
        self.trail.note(faults.NUMBER_NOT_FINITE, self._at, number=text)
        self._at += len(text)
        return 0

    def _read_word(self, expected: str, character: str) -> bool | int | None:
        if character in ("+", ".") and self._text[self._at + 1 : self._at + 2].isdecimal():
            like = tokens.NUMBER_LIKE.match(self._text, self._at)
            self._malformed_number(like.group() if like else "")
        if tokens.NOT_FINITE.match(self._text, self._at):
            return self._read_not_finite()
        match = tokens.WORD.match(self._text, self._at)
        word = match.group() if match else ""
        if word in tokens.LITERALS:
            self._at += len(word)
            return tokens.LITERALS[word]
        at_end = self._at + len(word) == len(self._text)
        if word and at_end and any(literal.startswith(word) for literal in tokens.LITERALS):
            self._unfinished("word", self._at)
        return self._unexpected(expected, character)

    def _found(self) -> str:
        match = tokens.WORD.match(self._text, self._at)
        return tokens.excerpt(match.group() if match else self._text[self._at])

    def _unexpected(self, expected: str, character: str) -> NoReturn:
        """End the reading: something else than `expected` stands here, or the text ends."""
        if character == "" and self._frames:
            frame = self._frames[-1]
            self._unfinished("object" if frame.is_object else "array", frame.at)
        self.trail.halt(faults.UNEXPECTED, self._at, found=self._found(), expected=expected)

    def _unfinished(self, what: str, begun: int) -> NoReturn:
        self.trail.halt(faults.TEXT_UNFINISHED, len(self._text), ("begun", begun), open=what)
