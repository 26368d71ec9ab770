"""The words of JSON as patterns, each linear in its match, and excerpts of a text for a person."""

import re

SPACE = re.compile(r"[ \t\n\r]*+")
PLAIN_STRING = re.compile(r'"([^"\\\x00-\x1f]*+)"')
PLAIN = re.compile(r'[^"\\\x00-\x1f]*+')
HEX4 = re.compile(r"[0-9a-fA-F]{4}")
WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*+")
NUMBER_LIKE = re.compile(r"[-+.0-9A-Za-z_]*+")
NUMBER_BEGUN = re.compile(r"-|-?+(?:0|[1-9][0-9]*+)(?:\.|(?:\.[0-9]++)?+[eE][-+]?+)")
NOT_FINITE = re.compile(r"[-+]?+(?:infinity|inf|nan)(?![A-Za-z0-9_])", re.ASCII | re.IGNORECASE)
BRACKETS_OR_STRING = re.compile(r'[\[{]++|[\]}]++|"(?:[^"\\]++|\\.)*+(?:"|\\?\Z)', re.DOTALL)

SURROGATE = re.compile("[\ud800-\udfff]")

LITERALS: dict[str, bool | None] = {"true": True, "false": False, "null": None}
ESCAPES = {'"': '"', "\\": "\\", "/": "/", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}

MAX_EXCERPT = 40
"""Longest excerpt of a text in the params of a fault, in characters."""


def excerpt(text: str) -> str:
    """`text` for a person: shortened, with characters that cannot be seen as U+000A forms."""
    kept = text[:MAX_EXCERPT]
    shown = "".join(character if character.isprintable() else code_point(character) for character in kept)
    return f"{shown}…" if len(text) > MAX_EXCERPT else shown


def code_point(character: str) -> str:
    """A character by its number, as the Unicode standard writes it (U+000A)."""
    return f"U+{ord(character):04X}"
