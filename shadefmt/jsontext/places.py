"""From indices of characters to lines, columns and byte offsets."""

from collections.abc import Iterable

from shadefmt.jsontext.faults import Position


def positions(text: str, indices: Iterable[int], skipped: int = 0) -> dict[int, Position]:
    """The position of each index into `text`, before which `skipped` bytes stand, in one pass."""
    found: dict[int, Position] = {}
    previous, line, line_start, offset = 0, 1, 0, skipped
    is_ascii = text.isascii()
    for index in sorted(set(indices)):
        segment = text[previous:index]
        offset += len(segment) if is_ascii else len(segment.encode("utf-8"))
        line += segment.count("\n") + segment.count("\r") - segment.count("\r\n")
        last = max(segment.rfind("\n"), segment.rfind("\r"))
        if last >= 0:
            line_start = previous + last + 1
        previous = index
        found[index] = Position(line, index - line_start + 1, offset)
    return found
