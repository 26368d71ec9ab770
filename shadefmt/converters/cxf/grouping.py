"""Which spectrum and which colours of an object are one reading.

Parts whose specifications state equal conditions of measurement are one reading; other conditions, and a
second value of the same kind, are readings of their own. Nothing is paired by its place in the file.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from shadefmt.converters.cxf.colours import KINDS
from shadefmt.converters.cxf.parts import ColourPart, ObjectRecord, SpectrumPart
from shadefmt.converters.cxf.specifications import Specification
from shadefmt.errors import Refused

Basis = tuple[str, str]

_RANK = {name: place for place, name in enumerate(KINDS)}


@dataclass(slots=True)
class Draft:
    """One reading to be: its specification, its spectrum, its colours by basis, and what is kept aside."""

    specification: Specification | None
    spectrum: SpectrumPart | None = None
    colours: dict[Basis, list[ColourPart]] = field(default_factory=dict)
    aside: list[ColourPart] = field(default_factory=list)


class Grouping:
    """Groups the parts of objects, with all specifications of the file at hand."""

    def __init__(self, specifications: Mapping[str, Specification]) -> None:
        self._specifications = specifications
        self._equal: dict[tuple[str, str], bool] = {}

    def drafts(self, record: ObjectRecord) -> list[Draft]:
        """Return the readings of one object, those with a spectrum first.

        Raises:
            Refused: a part refers to a specification that the file does not hold.
        """
        made = [Draft(self.specification(part, record), part) for part in record.spectra]
        parts = record.colours
        if len(made) == len(parts) == 1 and parts[0].specification == record.spectra[0].specification:
            made[0].colours[basis_of(made[0].specification)] = parts
            return made
        if len(parts) > 1:
            parts = sorted(parts, key=lambda part: _RANK[part.kind])
        for part in parts:
            specification = self.specification(part, record)
            home = self._home(made, part, specification)
            if home is None or not _place(home, part, specification):
                home = Draft(specification)
                made.append(home)
                _place(home, part, specification)
        return made

    def specification(self, part: SpectrumPart | ColourPart, record: ObjectRecord) -> Specification | None:
        """Return what a part refers to; None where it refers to nothing."""
        name = part.specification
        if not name:
            return None
        found = self._specifications.get(name)
        if found is None:
            raise Refused(
                f"a measurement refers to the ColorSpecification {name[:60]!r}, which the file does not hold",
                where=record.where,
                remedy="Export the file again, whole: without its specification a measurement means nothing",
            )
        return found

    def _home(self, drafts: list[Draft], part: ColourPart, specification: Specification | None) -> Draft | None:
        """The one reading that a colour belongs to, or None where there is none or more than one."""
        if not drafts:
            return None
        equal = [draft for draft in drafts if self._same(draft.specification, specification)]
        if len(equal) == 1:
            return equal[0]
        if not equal:
            states = specification.measurement if specification else frozenset()
            near = [draft for draft in drafts if draft.specification and states <= draft.specification.measurement]
            return near[0] if len(near) == 1 == len(drafts) else None
        named = [draft for draft in equal if part.name and _name(draft) == part.name]
        if len(named) == 1:
            return named[0]
        same = [draft for draft in equal if draft.specification is specification]
        return same[0] if len(same) == 1 else None

    def _same(self, one: Specification | None, other: Specification | None) -> bool:
        if one is other:
            return True
        if one is None or other is None:
            return False
        key = (one.id, other.id)
        if key not in self._equal:
            self._equal[key] = one.measurement == other.measurement
        return self._equal[key]


def basis_of(specification: Specification | None) -> Basis:
    """Return illuminant and observer of colours under a specification."""
    return (specification.illuminant, specification.observer) if specification else ("unknown", "unknown")


def _name(draft: Draft) -> str:
    return draft.spectrum.name if draft.spectrum else ""


def _place(draft: Draft, part: ColourPart, specification: Specification | None) -> bool:
    """Put a colour into a reading; False where it is a second value of the same kind, hence another reading.

    A reading has one colour for each basis. What says the same in other coordinates, or could not share the
    block's `decimals`, goes aside; the original coordinates come first, restated ones last. Restated numbers
    share no block: they are as exact as the source, and that is less than the rest of the block would ask.
    """
    present = draft.colours.setdefault(basis_of(specification), [])
    twin = next((each for each in present if each.kind == part.kind), None)
    if twin is not None and twin.specification == part.specification and twin.numbers != part.numbers:
        return False
    shares = all(each.member != part.member and each.decimals == part.decimals for each in present)
    restated = bool(KINDS[part.kind].reason) or any(KINDS[each.kind].reason for each in present)
    if present and (not shares or restated):
        draft.aside.append(part)
    else:
        present.append(part)
    return True
