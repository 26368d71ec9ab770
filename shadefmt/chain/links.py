"""The shape of what a link reports."""

from typing import Any, NamedTuple


class Disagreement(NamedTuple):
    """A stated value that does not follow from the stated values before it.

    `params` always hold what a reader needs to see the size of it, as a rule `stated`, `expected` and
    `tolerance`. `facts` hold the inputs for whoever looks for a cause; they are not written out.
    """

    code: str
    pointer: str
    entry_id: str
    params: dict[str, Any]
    facts: Any = None
