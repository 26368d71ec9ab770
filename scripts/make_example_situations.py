"""Write schema/1.0/examples/situations: one small case for each story; with --check only say whether they are fresh.

What people and instruments state is written by hand in `scripts/situations` (invented); what follows from it comes
from the chain.
"""

import sys
from collections.abc import Callable
from typing import Final

from scripts.situations import benches, chair, crowns, works
from scripts.situations.entries import EXAMPLES, Value
from shadefmt import as_model, dumps
from shadefmt.jsontext import line_form

FOLDER: Final = EXAMPLES / "situations"

STORIES: Final[dict[str, Callable[[], Value]]] = {
    "lighter-veneers": works.lighter_veneers,
    "implant-with-gum": works.implant_with_gum,
    "milled-molar": works.milled_molar,
    "partial-denture": works.partial_denture,
    "filling-by-eye": chair.filling_by_eye,
    "pictures-only": chair.pictures_only,
    "returned-as-too-bright": crowns.returned_as_too_bright,
    "new-stock": benches.new_stock,
    "new-batch": benches.new_batch,
    "milk-tooth": chair.milk_tooth,
    "instrument-replaced": benches.instrument_replaced,
    "second-clinic": chair.second_clinic,
    "tabs-at-the-chair": crowns.tabs_at_the_chair,
    "read-under-dam": chair.read_under_dam,
    "restored-neighbour": crowns.restored_neighbour,
    "accepted-outside-limit": crowns.accepted_outside_limit,
}
"""File name without its ending -> what makes the document."""


def expected() -> dict[str, bytes]:
    """Return the bytes that each file is to have."""
    files = {f"{name}.shade.json": dumps(as_model(story())) for name, story in STORIES.items()}
    lines = b"".join(line_form(as_model(each).to_value()) for each in benches.archive())
    return {**files, "archive.shade.ndjson": lines}


def main() -> int:
    """Write or compare; 1 where a file is stale."""
    made = expected()
    stale = [
        name for name, data in made.items() if not (FOLDER / name).is_file() or (FOLDER / name).read_bytes() != data
    ]
    if "--check" in sys.argv:
        print("stale: " + ", ".join(stale) if stale else "the situations are fresh")
        return int(bool(stale))
    FOLDER.mkdir(exist_ok=True)
    for name in stale:
        (FOLDER / name).write_bytes(made[name])
    return 0


if __name__ == "__main__":
    sys.exit(main())
