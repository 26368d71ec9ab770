"""Of the spectra of one table: whether they are factors or percent, and of reflectance, transmittance or light."""

import re
from typing import Final, Literal

from shadefmt.converters.cgats import conditions
from shadefmt.converters.cgats.columns import SpectralFields
from shadefmt.converters.cgats.header import Header, Setting, named
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.numbers import number_of
from shadefmt.errors import Refused
from shadefmt.vocabulary import SpectralQuantity

PERCENT_ABOVE: Final = 1.5
"""A median above this looks like percent; common practice, no source."""

_QUANTITY_NAMES: Final = (
    *("SPECTRALQUANTITY", "MEASTYPE", "MEASUREMENTTYPE", "MEASUREMENTMODE", "MEASUREMENTOPTICS", "DEVICECLASS"),
    *("MEASUREMENTSOURCE", "ILLUMINATIONNAME", "ILLUMINATION"),
)
_POWER: Final = re.compile(r"\bspectral power\b", re.IGNORECASE)
_NORMS: Final = {1.0: False, 100.0: True}


def in_percent(
    spectrum: SpectralFields, header: Header, said: bool | None, ledger: Ledger, *, comma: bool, where: str
) -> bool:
    """Return whether the values of spectra are to be divided by 100.

    By what the caller said, else by what the field names or SPECTRAL_NORM state; without a statement they are
    taken as they stand.

    Raises:
        Refused: the file contradicts itself, or has a norm that is neither 1 nor 100.
    """
    stated = {} if spectrum.percent is None else {"the field names": spectrum.percent}
    for setting in named(header.settings(), "SPECTRALNORM"):
        norm = _norm(setting, comma=comma)
        if norm in _NORMS:
            stated[setting.entry.keyword] = _NORMS[norm]
        elif said is None:
            raise Refused(
                f"{setting.entry.keyword} is {norm:g}: the spectra are neither factors nor percent",
                where=f"line {setting.entry.line}",
                remedy="Have them exported with a norm of 1 or 100, or say what they are (percent)",
            )
    if said is not None:
        if any(each != said for each in stated.values()):
            message = f"spectra were read as {_scale(said)}, as the caller said; {' and '.join(stated)} say otherwise"
            ledger.notice("scale-overruled", where, message, "Look at the spectra")
        return said
    if len(set(stated.values())) > 1:
        raise Refused(
            f"{' and '.join(stated)} contradict each other: factors or percent",
            where=where,
            remedy="Say which it is (percent)",
        )
    return next(iter(stated.values()), False)


def quantity_of(
    spectrum: SpectralFields, header: Header, said: SpectralQuantity | None, ledger: Ledger, where: str
) -> SpectralQuantity | Literal["light"]:
    """Return what spectra are; `light` where light itself was measured, which a case has no member for.

    Raises:
        Refused: the file says both reflectance and transmittance.
    """
    texts = [setting.text.strip(' "') for setting in named(header.settings(), *_QUANTITY_NAMES)]
    descriptions = named(header.settings(), "DESCRIPTOR", "FILEDESCRIPTOR")
    if any(conditions.is_light(text) for text in texts) or any(_POWER.search(each.text) for each in descriptions):
        return "light"
    words = {spectrum.quantity, *(conditions.quantity_of(text) for text in texts)} - {None}
    if said is not None:
        return said
    if len(words) > 1:
        raise Refused(
            "the file says that its spectra are of reflectance and of transmittance",
            where=where,
            remedy="Say which it is (quantity)",
        )
    for word in words:
        if word is not None:
            return word
    reason = "the file does not say whether its spectra are of reflectance or of transmittance"
    ledger.lost(spectrum.path, "defaulted", "quantity-assumed", reason, where=where, new="reflectance-factor")
    return "reflectance-factor"


def _norm(setting: Setting, *, comma: bool) -> float:
    text = setting.text.strip('" ')
    try:
        return number_of(text, comma=comma and "," in text)
    except Refused as fault:
        where = f"line {setting.entry.line}"
        raise Refused(f"{setting.entry.keyword}: {fault.what}", where=where, remedy=fault.remedy) from None


def _scale(percent: bool) -> str:
    return "percent" if percent else "factors"
