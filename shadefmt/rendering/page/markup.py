"""HTML that nothing from a file can break out of: text is escaped where it becomes markup, and nowhere else."""

import re
from html import escape
from typing import Final

from shadefmt.rendering.visible import visible

EMPTY: Final = frozenset({"meta", "br", "hr"})
"""Elements without content and without an end tag."""

_NAME: Final = re.compile(r"[a-z][a-z0-9-]*", re.IGNORECASE)


class Markup(str):
    """Text that is already HTML. Only this module makes it; every other string is escaped before it is shown."""

    __slots__ = ()


def text(words: str) -> Markup:
    """Return words as HTML: characters that are not seen as escapes, markup characters as references."""
    return Markup(escape(visible(words), quote=True))


def element(name: str, /, *children: str, **attributes: str) -> Markup:
    """Return an element. Children that are no `Markup` are escaped; attribute values always are.

    Attribute names are written with `_` for `-` and `class_` for class; they and `name` come from the program.
    """
    written = "".join(f' {_attribute(key)}="{text(value)}"' for key, value in attributes.items())
    if not _NAME.fullmatch(name):
        raise ValueError(f"{name!r} is no name of an element")
    if name in EMPTY:
        return Markup(f"<{name}{written}>")
    return Markup(f"<{name}{written}>{joined(*children)}</{name}>")


def joined(*parts: str) -> Markup:
    """Return parts one after the other; those that are no `Markup` are escaped."""
    return Markup("".join(each if isinstance(each, Markup) else text(each) for each in parts))


def minus(number: str) -> str:
    """Return a number for a table, with a minus sign instead of a hyphen."""
    return f"\u2212{number[1:]}" if number.startswith("-") else number


def _attribute(key: str) -> str:
    name = key.rstrip("_").replace("_", "-")
    if not _NAME.fullmatch(name):
        raise ValueError(f"{key!r} is no name of an attribute")
    return name
