"""Numbers in JSON text from Python's encoder: respelling those that ECMAScript writes otherwise."""

import re

from shadefmt.errors import WrongUse
from shadefmt.jsontext.numbers import is_integer_text, text_of_float, value_of

_LIKE = bytes.maketrans(b"123456789:[- +\n", b"000000000,,,,,,")
_EXPONENT = b"0e,00"  # repr writes a sign and two digits at least
_LONG_INTEGER = b",0000000000000000"  # sixteen digits: 2^53-1 has as many
_TOKEN = re.compile(r'"(?:[^"\\]++|\\.)*+"|-?+[0-9][-+.0-9e]*+')
_INTEGRAL_ENDS = (b".0,", b".0]", b".0}", b".0\n")


def may_differ(data: bytes) -> bool:
    """Whether some number in what Python's encoder wrote may need another spelling; when False, none does."""
    if any(end in data for end in _INTEGRAL_ENDS) or data.endswith(b".0"):
        return True
    like = data.translate(_LIKE)
    return _EXPONENT in like or _LONG_INTEGER in like or like.startswith(_LONG_INTEGER[1:])


def respelled(text: str) -> str:
    """The same JSON text with every number at its shortest. Raises WrongUse for an integer beyond 2^53-1."""
    return _TOKEN.sub(_respell, text)


def _respell(match: re.Match[str]) -> str:
    token = match.group()
    if token[0] == '"':
        return token
    if is_integer_text(token):
        if value_of(token) is None:
            raise WrongUse(f"an integer beyond 2^53-1 cannot be written: {token[:40]}")
        return token
    return text_of_float(float(token))
