"""Numbers as people read them: as given, with the decimals that were stated."""

from typing import Final

MOST_DECIMALS: Final = 6
"""Decimals beyond those stated that a number is still shown with."""

LARGEST: Final = 1e7
"""Size from which a number is written with an exponent."""


def as_given(value: float, decimals: int = 0) -> str:
    """Return a number with its stated decimals, and with more where it has more (up to six).

    Nothing that stands in the file is rounded away: a difference just above a limit must not look like it.
    """
    if not abs(value) < LARGEST:
        return f"{value:g}"
    text = f"{value:.{MOST_DECIMALS}f}".rstrip("0")
    held = len(text) - text.index(".") - 1
    return _signed(f"{value:.{max(decimals, held)}f}")


def rounded_to(value: float, decimals: int) -> str:
    """Return a number with so many decimals; zero has no sign."""
    if not abs(value) < LARGEST:
        return f"{value:g}"
    return _signed(f"{value:.{decimals}f}")


def with_sign(value: float, decimals: int) -> str:
    """Return a difference with its sign."""
    text = rounded_to(value, decimals)
    return text if text.startswith("-") or not any(each in "123456789" for each in text) else f"+{text}"


def counted(count: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun, such as `3 readings`; the plural adds an s where none is given."""
    return f"{count} {one}" if count == 1 else f"{count} {many or one + 's'}"


def listed(words: list[str]) -> str:
    """Return words as a sentence lists them: `a`, `a and b`, `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def sentence(words: str) -> str:
    """Return words as a sentence: a capital first, a full stop at the end unless another mark stands there."""
    text = words.strip()
    return f"{text[:1].upper()}{text[1:]}" + ("" if text.endswith((".", "!", "?", ":", "\u2026")) else ".")


def _signed(text: str) -> str:
    return text[1:] if text.startswith("-") and not any(each in "123456789" for each in text) else text
