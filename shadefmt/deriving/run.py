"""The order in which a case is completed: each step from what the one before has written."""

from typing import Any, Final

from shadefmt.deriving import colours, judgements
from shadefmt.deriving.draft import Draft
from shadefmt.deriving.request import Derived, Left, Request
from shadefmt.referring import ENTRY_LISTS

STEPS: Final = (
    colours.computed_colours,
    colours.means,
    judgements.matches,
    judgements.comparisons,
    judgements.verdicts,
)


def derive(case: dict[str, Any], request: Request | None = None) -> Derived:
    """Return the case with everything that follows from it and the request.

    The case is a decoded document value that fits its model; it is not changed. What is there already stays as it
    is, also where it is wrong: that is the checker's to say. Entries go to the last revision.

    Raises:
        pydantic.ValidationError: the value does not fit the model; check it first.
    """
    left: list[Left] = []
    draft = Draft(case)
    for step in STEPS:
        draft = step(draft, request or Request(), left)
    added = {}
    for name in ENTRY_LISTS:
        before = {each["id"] for each in case.get(name, [])}
        new = [each["id"] for each in draft.case.get(name, []) if each["id"] not in before]
        if new:
            added[name] = new
    return Derived(draft.case, added, left)
