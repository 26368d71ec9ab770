"""What is worked out of colours beside differences: indices and translucency, with the backings used."""

from shadefmt.model.base import Absent, Decimals, Entry, EntryId, Factor, NotNegative, Number, Positive, ShortText
from shadefmt.model.colours import Colour
from shadefmt.vocabulary import Backing, ColourIndex, DifferenceFormula, Illuminant, Observer


class BackingDescription(Entry):
    """A backing, so that what shines through can be compared."""

    kind: Backing
    """What it is."""
    colour: Absent[Colour] = None
    """Its colour."""
    label: Absent[ShortText] = None
    """What the owner calls it."""


class IndexValue(Entry):
    """A whiteness or yellowness index of one colour."""

    of_id: EntryId
    """Mean, reading, computed colour or target."""
    illuminant: Illuminant
    """CIE illuminant of the colour."""
    observer: Observer
    """CIE standard observer of the colour."""
    index: ColourIndex
    """Which index."""
    decimals: Decimals
    """Decimals that `value` was rounded to."""
    value: Number
    """The value."""


class Translucency(Entry):
    """How far one specimen lets what is behind it through: its difference over white and over black."""

    over_white_id: EntryId
    """Mean or reading over the white backing."""
    over_black_id: EntryId
    """Mean or reading over the black backing."""
    illuminant: Illuminant
    """CIE illuminant of both colours."""
    observer: Observer
    """CIE standard observer of both colours."""
    thickness_mm: Absent[Positive] = None
    """Thickness of the specimen, in millimetres."""
    formula: DifferenceFormula
    """Colour-difference formula."""
    k_L: Factor
    """Lightness factor of the formula."""
    k_C: Factor
    """Chroma factor of the formula."""
    k_H: Factor
    """Hue factor of the formula."""
    decimals: Decimals
    """Decimals that the numbers of this entry were rounded to."""
    difference: NotNegative
    """Difference over white and over black."""
    contrast_ratio: Absent[NotNegative] = None
    """Y over black divided by Y over white; 0 is clear, 1 opaque."""
