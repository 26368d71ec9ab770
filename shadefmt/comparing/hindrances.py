"""What a case knows against judging the difference of two of its entries: the obstacles of a comparison."""

from collections.abc import Iterable
from typing import Any

from shadefmt.chain.obstacles import obstacles
from shadefmt.indexing import CaseView
from shadefmt.model.judging import Comparison


def obstacles_between(
    view: CaseView,
    ids: tuple[str, str],
    basis: tuple[str, str],
    question: str = "match",
    sources: Iterable[str] = (),
) -> list[str]:
    """Return every obstacle that a comparison of standard and trial would have.

    `ids` that are no entries, such as colours typed in, have none. `sources` are those whose
    uncertainty is allowed for.
    """
    stated: dict[str, Any] = {
        "id": "asked",
        "question": question,
        "standard_id": ids[0],
        "trial_id": ids[1],
        "illuminant": basis[0],
        "observer": basis[1],
        "formula": "CIEDE2000",
        "k_L": 1.0,
        "k_C": 1.0,
        "k_H": 1.0,
        "decimals": 0,
        "difference": 0.0,
    }
    if parts := [{"source": each, "standard_uncertainty": 0.0} for each in sources]:
        stated["uncertainty"] = {
            "coverage_factor": 2.0,
            "decimals": 0,
            "expanded": 0.0,
            "method": "bounded",
            "components": parts,
        }
    if not all(each in view.entries for each in ids):
        return []
    return list(obstacles(view, Comparison.model_validate(stated)))
