"""Where in a text the values stand that findings point at."""

from collections.abc import Iterable

from shadefmt.jsontext.encoding import text_of
from shadefmt.jsontext.faults import Position
from shadefmt.jsontext.places import positions
from shadefmt.jsontext.pointers import parts_of
from shadefmt.jsontext.reader import Reader
from shadefmt.jsontext.trail import Wanted


def locate(data: bytes, pointers: Iterable[str]) -> dict[str, Position]:
    """The position of the first character of the value at each JSON Pointer, by one pass over `data`.

    A pointer that leads nowhere gets the position of the nearest ancestor that exists, at last that of the
    root, or of the start of the data where nothing can be read. Of members with one name the first is meant.
    Raises WrongUse for a text that is no pointer.
    """
    root = Wanted()
    steps_by_pointer = {pointer: parts_of(pointer) for pointer in pointers}
    for steps in steps_by_pointer.values():
        node = root
        for step in steps:
            node = node.children.setdefault(step, Wanted())
    text = text_of(data)
    Reader(text.characters, root).read()
    at_by_pointer = {pointer: _nearest(root, steps) for pointer, steps in steps_by_pointer.items()}
    places = positions(text.characters, at_by_pointer.values(), text.skipped)
    return {pointer: places[at] for pointer, at in at_by_pointer.items()}


def _nearest(root: Wanted, steps: list[str]) -> int:
    node, at = root, root.at or 0
    for step in steps:
        node = node.children[step]
        if node.at is None:
            break
        at = node.at
    return at
