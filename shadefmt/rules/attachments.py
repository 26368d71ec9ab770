"""Rules on the files that travel with a case."""

from collections.abc import Iterator
from typing import Final

from shadefmt.bundles import is_safe
from shadefmt.rules.base import Hit, Matter, Rule


def attachment_path_unsafe(matter: Matter) -> Iterator[Hit]:
    """A path leads out of the bundle, or means different files on different systems."""
    seen: dict[str, str] = {}
    for index, attachment in enumerate(matter.view.case.attachments or ()):
        first = seen.setdefault(attachment.path.casefold(), attachment.path)
        if not is_safe(attachment.path) or first != attachment.path:
            yield Hit(f"/attachments/{index}/path", {"path": attachment.path}, attachment.id)


def attachment_differs(matter: Matter) -> Iterator[Hit]:
    """A file of the bundle is not the one that the case names."""
    for index, attachment in enumerate(matter.view.case.attachments or ()):
        found = matter.supplied.attachments.get(attachment.path)
        if found is None:
            continue
        pointer = f"/attachments/{index}"
        if found.sha256 != attachment.sha256:
            stated, there, member = attachment.sha256, found.sha256, "sha256"
        elif found.size_bytes != attachment.size_bytes:
            stated, there, member = f"{attachment.size_bytes} bytes", f"{found.size_bytes} bytes", "size_bytes"
        else:
            continue
        params = {"path": attachment.path, "stated": stated, "found": there}
        yield Hit(f"{pointer}/{member}", params, attachment.id)


RULES: Final[dict[str, Rule]] = {
    "attachment-path-unsafe": attachment_path_unsafe,
    "attachment-differs": attachment_differs,
}
