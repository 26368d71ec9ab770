"""Text as XML: what may stand in it, and elements from texts by path."""

import re
from collections.abc import Mapping
from typing import Any, Final
from xml.sax.saxutils import escape, quoteattr

PREFIX: Final = "cc"
"""Prefix of every element."""

_NOT_XML: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_NC_NAME: Final = re.compile("[A-Za-z_][A-Za-z0-9._-]*")
_PLAIN: Final = re.compile(r"[A-Za-z0-9 .,:;+/_-]*").fullmatch
LINE_ENDS: Final = {"\r": "&#13;"}


def can_stand(text: str) -> bool:
    """Return whether XML 1.0 can hold a text."""
    return not _NOT_XML.search(text)


def is_name(text: str) -> bool:
    """Return whether a text may be an id: an NCName of ASCII characters."""
    return _NC_NAME.fullmatch(text) is not None


def attribute(name: str, text: str) -> str:
    """Return an attribute with a blank before it."""
    return f' {name}="{text}"' if _PLAIN(text) else f" {name}={quoteattr(text, LINE_ENDS)}"


def elements(texts: Mapping[str, str], indent: str) -> list[str]:
    """Return the lines of the elements that texts by path describe, such as `Device/Model` and `Height/@Units`."""
    root: dict[str, Any] = {}
    for path, text in texts.items():
        node = root
        for name in path.split("/"):
            node = node.setdefault(name, {})
        node["="] = text
    return [line for name, node in root.items() for line in _lines(name, node, indent)]


def _lines(name: str, node: Mapping[str, Any], indent: str) -> list[str]:
    attributes = "".join(attribute(key[1:], each["="]) for key, each in node.items() if key[0] == "@")
    below = [key for key in node if key[0] not in "@="]
    start = f"{indent}<{PREFIX}:{name}{attributes}"
    if below:
        inner = [line for key in below for line in _lines(key, node[key], indent + " ")]
        return [f"{start}>", *inner, f"{indent}</{PREFIX}:{name}>"]
    text = node.get("=", "")
    return [f"{start}>{escape(text, LINE_ENDS)}</{PREFIX}:{name}>" if text else f"{start}/>"]
