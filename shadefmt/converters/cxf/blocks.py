"""The blocks of numbers of one reading: its spectrum and its colours."""

from collections.abc import Mapping
from typing import Any

from shadefmt.converters.cxf.colours import KINDS
from shadefmt.converters.cxf.grids import grid_of
from shadefmt.converters.cxf.grouping import Draft
from shadefmt.converters.cxf.keeping import spectrum_aside
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.parts import ColourPart, ObjectRecord, SpectrumPart
from shadefmt.converters.cxf.specifications import Specification
from shadefmt.vocabulary import SpectralQuantity

_QUANTITIES: Mapping[str, SpectralQuantity] = {
    "spectrum_reflectance": "reflectance-factor",
    "spectrum_transmittance": "transmittance-factor",
    "spectrum_totaltransmittance": "transmittance-factor",
}
_LETTERS = {"lab": ("L", "a", "b"), "xyz": ("X", "Y", "Z")}


class Blocks:
    """Makes spectrum and colour blocks, and accounts for where their numbers went."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._grids: dict[tuple[float | None, float | None, str, int], dict[str, Any]] = {}

    def spectrum(self, draft: Draft, record: ObjectRecord) -> dict[str, Any] | None:
        """Return the spectrum block of a reading, or None where it has none."""
        part = draft.spectrum
        if part is None:
            return None
        quantity = part.quantity or self._custom_quantity(part, draft.specification, record)
        if quantity is None:
            return None
        return {
            "quantity": quantity,
            **self._grid(part, draft.specification, record),
            "decimals": part.decimals,
            "values": part.values,
        }

    def _grid(self, part: SpectrumPart, specification: Specification | None, record: ObjectRecord) -> dict[str, Any]:
        """The grid; remembered where there was nothing to say about it, as it is the same for thousands."""
        name = specification.id if specification else ""
        key = (part.start_nm, part.step_nm, name, len(part.values))
        known = self._grids.get(key) if part.wavelengths_nm is None else None
        if known is None:
            said = self._ledger.said
            known = grid_of(part, specification, self._ledger, record.where)
            self._look_at_quantity(part, specification, record)
            if said == self._ledger.said and part.wavelengths_nm is None:
                self._grids[key] = known
        return known

    def _look_at_quantity(self, part: SpectrumPart, specification: Specification | None, record: ObjectRecord) -> None:
        stated = _QUANTITIES.get(specification.measurement_type.casefold()) if specification else None
        if stated and part.quantity and stated != part.quantity:
            message = f"a spectrum of {part.quantity} refers to a specification of {stated}"
            self._ledger.notice("quantity-conflict", record.where, message, "Make sure which is right")

    def _custom_quantity(
        self, part: SpectrumPart, specification: Specification | None, record: ObjectRecord
    ) -> SpectralQuantity | None:
        stated = specification.measurement_type if specification else ""
        quantity = _QUANTITIES.get(stated.casefold())
        if quantity:
            self._ledger.seen.append(part.paths)
            return quantity
        self._ledger.aside.append(part.paths)
        record.other[f"CustomSpectrum[{1 + len(record.other)}]"] = spectrum_aside(part)
        self._ledger.notice(
            "quantity-unknown",
            record.where,
            "a CustomSpectrum does not say whether it is reflectance or transmittance; kept aside",
            "Have the MeasurementType of its specification stated",
        )
        return None

    def colours(self, draft: Draft, record: ObjectRecord) -> list[dict[str, Any]]:
        """Return the colour blocks of a reading, one for each illuminant and observer."""
        for part in draft.aside:
            self._ledger.aside.append(part.paths)
            message = f"a {part.kind} was kept aside: its reading has a colour for that illuminant and observer already"
            remedy = "Nothing to do if they agree; the extension of the case holds it"
            self._ledger.notice("colour-kept-aside", record.where, message, remedy)
        made = []
        for (illuminant, observer), parts in draft.colours.items():
            if illuminant == "unknown" or observer == "unknown":
                self._unknown_basis(parts[0], record)
            block: dict[str, Any] = {
                "illuminant": illuminant,
                "observer": observer,
                "decimals": parts[0].decimals,
                "origin": "instrument",
            }
            for part in sorted(parts, key=_member) if len(parts) > 1 else parts:
                first, second, third = part.numbers
                letters = _LETTERS[part.member]
                block[part.member] = {letters[0]: first, letters[1]: second, letters[2]: third}
                self._account(part, record)
            made.append(block)
        return made

    def _account(self, part: ColourPart, record: ObjectRecord) -> None:
        ledger = self._ledger
        reason = KINDS[part.kind].reason
        if reason:
            for path in part.paths:
                ledger.account.converted(path, f"/readings/*/colours/*/{part.member}", reason)
            return
        ledger.seen.append(part.paths)
        for place, text in part.cut.items():
            ledger.cut(part.paths[1 + place], {place: text}, part.numbers, record.where)

    def _unknown_basis(self, part: ColourPart, record: ObjectRecord) -> None:
        name = f"ColorSpecification {part.specification}" if part.specification else "no specification"
        self._ledger.notice(
            "basis-unknown",
            record.where,
            f"illuminant or observer of colours is not known ({name[:120]}); nothing is compared with them",
            "Ask whoever exported the file; it is never assumed",
        )


def _member(part: ColourPart) -> str:
    return part.member
