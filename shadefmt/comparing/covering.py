"""How well a reference set covers the colours of an archive, and how often a repeat would name another reference."""

from typing import Any

from shadefmt.chain.colours import lab_of
from shadefmt.chain.uncertainties import spread_of_mean
from shadefmt.colour.formula import Formula
from shadefmt.colour.nearest_single import change_rate, margin_uncertainty, nearest
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView
from shadefmt.model.measuring import Mean
from shadefmt.model.reference_set import ReferenceSet

Value = dict[str, Any]


class Covering:
    """Looks up, case by case, the means of teeth in a reference set; keeps sums only.

    Raises:
        WrongUse: the set has no colours of the illuminant and observer.
    """

    def __init__(self, references: ReferenceSet, illuminant: str, observer: str, by: Formula) -> None:
        self._basis, self._by, self._title = (illuminant, observer), by, references.title
        known = [
            lab_of(each.colour.lab)
            for each in references.references
            if each.colour.lab is not None and (each.colour.illuminant, each.colour.observer) == self._basis
        ]
        if not known:
            raise WrongUse(f"{references.title} has no CIELAB colours for {illuminant}, {observer}")
        self._references = known
        self._sizes: list[float] = []
        self._changes: list[float] = []
        self._without = 0

    def add(self, view: CaseView) -> None:
        """Add a case: every mean of a tooth that counts and has a colour of the basis."""
        before = len(self._sizes)
        for mean in view.case.means or ():
            kinds = {made.kind for each in view.readings_of(mean) if (made := view.specimen_of(each)) is not None}
            if kinds == {"tooth"} and mean.id not in view.withdrawn:
                self._look_up(view, mean)
        self._without += len(self._sizes) == before

    def _look_up(self, view: CaseView, mean: Mean) -> None:
        colour = view.colour(view.entries[mean.id], *self._basis)
        if colour is None or colour.lab is None:
            return
        lab = lab_of(colour.lab)
        found = nearest(lab, self._references, self._by)
        self._sizes.append(found.difference)
        spread = spread_of_mean(view, mean)
        if spread is not None and found.runner_up is not None:
            pair = self._references[found.reference], self._references[found.runner_up]
            self._changes.append(change_rate(found.margin, margin_uncertainty(lab, *pair, spread, self._by)))

    def found(self) -> Value:
        """Return coverage error (O'Brien, Boenke and Groh 1991), largest distance, and share of labels that change."""
        row: Value = {
            "reference_set": self._title,
            "references": len(self._references),
            "formula": self._by.name,
            "colours": len(self._sizes),
            "cases_without": self._without,
        }
        if self._sizes:
            row |= {"coverage_error": sum(self._sizes) / len(self._sizes), "largest": max(self._sizes)}
        if self._changes:
            changed = {"colours": len(self._changes), "share": sum(self._changes) / len(self._changes)}
            row["label_would_change_on_repeating"] = changed
        return row
