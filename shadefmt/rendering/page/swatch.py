"""An impression of a colour on the screen, where the screen can give one; never a reference."""

from typing import Final

from shadefmt.chain.colours import Triple
from shadefmt.colour.single import lab_to_xyz
from shadefmt.colour.weights import white_point
from shadefmt.errors import WrongUse
from shadefmt.rendering.page.markup import Markup, element

TO_LINEAR: Final = (
    (3.2406, -1.5372, -0.4986),
    (-0.9689, 1.8758, 0.0415),
    (0.0557, -0.2040, 1.0570),
)
"""XYZ (Y of white 1) to linear sRGB (IEC 61966-2-1:1999)."""

BASIS: Final = ("D65", "2-degree")
"""Illuminant and observer of sRGB; colours of another basis get no swatch."""

ROOM: Final = 0.002
"""How far a linear value may lie outside 0 to 1 by rounding before a colour counts as one no screen shows."""


def screen_colour(lab: Triple) -> str | None:
    """Return CIELAB (D65, 2 degrees) as `#rrggbb`, None where sRGB does not hold the colour."""
    try:
        xyz = [each / 100 for each in lab_to_xyz(lab, white_point(*BASIS))]
    except (WrongUse, ArithmeticError):
        return None
    linear = [sum(factor * value for factor, value in zip(row, xyz, strict=True)) for row in TO_LINEAR]
    if not all(-ROOM <= each <= 1 + ROOM for each in linear):
        return None
    return "#" + "".join(f"{round(255 * _encoded(min(max(each, 0.0), 1.0))):02x}" for each in linear)


def swatch(lab: Triple | None, basis: tuple[str, str] | None) -> Markup:
    """Return a small patch on neutral grey with its caution; nothing where no screen can show the colour."""
    shown = screen_colour(lab) if lab is not None and basis == BASIS else None
    if shown is None:
        return Markup("")
    patch = element("rect", width="12", height="12", fill=shown)
    drawing = element("svg", patch, viewBox="0 0 12 12", aria_hidden="true", class_="patch")
    return element("span", drawing, "impression only", class_="swatch")


def _encoded(linear: float) -> float:
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055
