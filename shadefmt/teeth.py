"""Tooth designations in three notations: ISO 3950, Universal, and Zsigmondy/Palmer (quadrant, position).

The notation is always stated by the caller. It cannot be told from a number: `11` is one tooth in ISO 3950
and another in Universal, and so are many more. Left and right are the patient's.
"""

import re
from typing import Final, NamedTuple, assert_never

from shadefmt.errors import Refused
from shadefmt.vocabulary import ToothNotation

_TABLE: Final = """
18 1 UR 8, 17 2 UR 7, 16 3 UR 6, 15 4 UR 5, 14 5 UR 4, 13 6 UR 3, 12 7 UR 2, 11 8 UR 1
21 9 UL 1, 22 10 UL 2, 23 11 UL 3, 24 12 UL 4, 25 13 UL 5, 26 14 UL 6, 27 15 UL 7, 28 16 UL 8
38 17 LL 8, 37 18 LL 7, 36 19 LL 6, 35 20 LL 5, 34 21 LL 4, 33 22 LL 3, 32 23 LL 2, 31 24 LL 1
41 25 LR 1, 42 26 LR 2, 43 27 LR 3, 44 28 LR 4, 45 29 LR 5, 46 30 LR 6, 47 31 LR 7, 48 32 LR 8
55 A UR E, 54 B UR D, 53 C UR C, 52 D UR B, 51 E UR A
61 F UL A, 62 G UL B, 63 H UL C, 64 I UL D, 65 J UL E
75 K LL E, 74 L LL D, 73 M LL C, 72 N LL B, 71 O LL A
81 P LR A, 82 Q LR B, 83 R LR C, 84 S LR D, 85 T LR E
"""
"""Each tooth in ISO 3950, in Universal, and as Zsigmondy/Palmer quadrant and position."""


class Palmer(NamedTuple):
    """Zsigmondy/Palmer designation without its corner mark.

    `quadrant` is `UR`, `UL`, `LL` or `LR` (upper or lower, patient's right or left); `position` counts from
    the midline, `1` to `8` for permanent and `A` to `E` for deciduous teeth.
    """

    quadrant: str
    position: str


_ROWS: Final = tuple(tuple(tooth.split()) for line in _TABLE.split("\n") if line for tooth in line.split(","))
_ISO_OF_UNIVERSAL: Final = {universal: iso for iso, universal, _, _ in _ROWS}
_UNIVERSAL_OF_ISO: Final = {iso: universal for iso, universal, _, _ in _ROWS}
_ISO_OF_PALMER: Final = {Palmer(quadrant, position): iso for iso, _, quadrant, position in _ROWS}
_PALMER_OF_ISO: Final = {iso: palmer for palmer, iso in _ISO_OF_PALMER.items()}
_EXTRA_NUMBERS: Final = frozenset(map(str, range(51, 83)))
_PALMER_TEXT: Final = re.compile(r"(UR|UL|LL|LR)[ -]?([1-8A-E])")
_NOT_ONE_TOOTH: Final = frozenset(f"{area:02}" for area in range(9)) | {"10", "20", "30", "40"}


def iso_of(text: str, notation: ToothNotation) -> str:
    """Return the ISO 3950 designation of a tooth written in a stated notation.

    Letters may be small. Zsigmondy/Palmer is written as quadrant and position, such as `UL1`.

    Raises:
        Refused: no such tooth in that notation; supernumerary numbers of Universal, which ISO 3950 has no
            designation for; areas of the mouth instead of a tooth.
    """
    match notation:
        case "iso-3950":
            return _from_iso(text)
        case "universal":
            return _from_universal(text)
        case "palmer":
            found = _PALMER_TEXT.fullmatch(text.upper())
            if not found:
                raise _no_tooth(text, notation, "write quadrant and position, such as UL1 for the upper left 1")
            return iso_of_palmer(*found.groups())
        case _:
            assert_never(notation)


def text_of(iso: str, notation: ToothNotation) -> str:
    """Return an ISO 3950 designation written in another notation; the inverse of `iso_of`.

    Raises:
        Refused: not the ISO 3950 designation of a tooth.
    """
    code = _from_iso(iso)
    match notation:
        case "iso-3950":
            return code
        case "universal":
            return _UNIVERSAL_OF_ISO[code]
        case "palmer":
            return "".join(_PALMER_OF_ISO[code])
        case _:
            assert_never(notation)


def iso_of_palmer(quadrant: str, position: str) -> str:
    """Return the ISO 3950 designation of a Zsigmondy/Palmer quadrant and position (see `Palmer`).

    Raises:
        Refused: no such tooth.
    """
    found = _ISO_OF_PALMER.get(Palmer(_capital(quadrant), _capital(position)))
    if found is None:
        raise _no_tooth(f"{quadrant}{position}", "palmer", "quadrants are UR, UL, LL, LR; positions 1-8 and A-E")
    return found


def palmer_of(iso: str) -> Palmer:
    """Return quadrant and position of an ISO 3950 designation.

    Raises:
        Refused: not the ISO 3950 designation of a tooth.
    """
    return _PALMER_OF_ISO[_from_iso(iso)]


def _from_iso(text: str) -> str:
    if text in _UNIVERSAL_OF_ISO:
        return text
    if text in _NOT_ONE_TOOTH:
        raise Refused(f"{text} is an area of the mouth in ISO 3950, not a tooth", remedy="name the tooth")
    raise _no_tooth(text, "iso-3950", "designations are 11-18 to 41-48, deciduous 51-55 to 81-85")


def _from_universal(text: str) -> str:
    letters = _capital(text)
    found = _ISO_OF_UNIVERSAL.get(letters)
    if found is not None:
        return found
    if letters in _EXTRA_NUMBERS or (len(letters) == 2 and letters[1] == "S" and "A" <= letters[0] <= "T"):
        raise Refused(
            f"{text} is a supernumerary tooth in Universal; ISO 3950 has no designation for it",
            remedy="name the adjacent tooth and say that the specimen is supernumerary",
        )
    raise _no_tooth(text, "universal", "designations are 1-32, deciduous A-T")


def _capital(text: str) -> str:
    return text.upper() if text.isascii() else text  # the capital of a foreign letter can be an ASCII one


def _no_tooth(text: str, notation: ToothNotation, remedy: str) -> Refused:
    return Refused(f"{text[:20]!r} is no tooth in the notation {notation}", remedy=remedy)
