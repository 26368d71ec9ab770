"""JSON numbers: from text to int or float, and back to the shortest text.

A number whose value is integral, however it is written (`2.0`, `1e2`, `-0`), is an int while its magnitude is
at most 2^53-1, so that every validator agrees on what an integer is. Every other number is the nearest IEEE
754 double.
"""

import re

from shadefmt.limits import MAX_SAFE_INTEGER

GRAMMAR = re.compile(r"-?+(?:0|[1-9][0-9]*+)(?:\.[0-9]++)?+(?:[eE][-+]?+[0-9]++)?+")
"""A number as RFC 8259, section 6 has it."""

_SAFE_DIGITS = len(str(MAX_SAFE_INTEGER))


def integral(number: float) -> int | float:
    """`number`, as an int where it is integral and within 2^53-1."""
    if number.is_integer() and -MAX_SAFE_INTEGER <= number <= MAX_SAFE_INTEGER:
        return int(number)
    return number


def is_integer_text(text: str) -> bool:
    """Whether a number is written without fraction and exponent."""
    return text.lstrip("-").isdigit()


def value_of(text: str) -> int | float | None:
    """The value of a number that matches GRAMMAR; None where it is an integer beyond 2^53-1.

    A magnitude beyond the doubles gives an infinity. Time is linear in the length.
    """
    if not is_integer_text(text):
        return integral(float(text))
    if len(text.lstrip("-")) > _SAFE_DIGITS:
        return None
    number = int(text)
    return number if -MAX_SAFE_INTEGER <= number <= MAX_SAFE_INTEGER else None


def text_of_float(number: float) -> str:
    """The shortest text of a finite float, as ECMAScript's Number::toString has it, with one exception.

    Integral values from 2^53 to 1e21 get an exponent (`1e+16`) where ECMAScript writes their digits: as digits they
    would be integers beyond 2^53-1, which no reader need keep exactly and ours refuses.
    """
    if number.is_integer() and abs(number) <= MAX_SAFE_INTEGER:
        return str(int(number))
    mantissa, mark, exponent = repr(number).partition("e")
    power = int(exponent) if mark else 0
    if number.is_integer() and not mark:
        digits = str(int(abs(number)))
        power = len(digits) - 1
        mantissa = f"{'-' if number < 0 else ''}{digits[0]}.{digits[1:].rstrip('0')}"
    elif -7 < power < 0:  # repr turns to exponents below 1e-4, ECMAScript below 1e-6
        sign = "-" if number < 0 else ""
        return f"{sign}0.{'0' * (-power - 1)}{mantissa.lstrip('-').replace('.', '')}"
    return f"{mantissa}e{power:+d}" if power else mantissa
