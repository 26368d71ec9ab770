"""Tooth notations against the independent package `toothnotation` and against the published rules of numbering."""

import pytest
import toothnotation

from shadefmt import teeth
from shadefmt.errors import Refused
from shadefmt.vocabulary import ToothNotation

PERMANENT = [f"{quadrant}{place}" for quadrant in "1234" for place in "12345678"]
DECIDUOUS = [f"{quadrant}{place}" for quadrant in "5678" for place in "12345"]
ALL = PERMANENT + DECIDUOUS


def universal_by_rule(iso: str) -> str:
    """Universal counts 1-32 from the upper right last tooth round to the lower right one, deciduous A-T likewise.

    The rules are arithmetic on ISO 3950 codes: n = 19 - code, code - 12, 55 - code, code - 16; letters likewise with
    i = 56 - code, code - 55, 86 - code, code - 65 (common practice, tabulated in many textbooks; computed here).
    """
    code, quadrant = int(iso), int(iso[0])
    if quadrant <= 4:
        return str((19 - code, code - 12, 55 - code, code - 16)[quadrant - 1])
    return chr(ord("A") + (56 - code, code - 55, 86 - code, code - 65)[quadrant - 5] - 1)


@pytest.mark.parametrize("iso", ALL)
def test_agrees_with_the_independent_package(iso: str) -> None:
    assert teeth.text_of(iso, "universal") == toothnotation.convert(iso, "fdi", "universal")
    assert teeth.text_of(iso, "palmer") == str(toothnotation.convert(iso, "fdi", "palmer"))


@pytest.mark.parametrize("iso", ALL)
def test_universal_follows_the_rule_of_numbering(iso: str) -> None:
    assert teeth.text_of(iso, "universal") == universal_by_rule(iso)


@pytest.mark.parametrize("notation", ["iso-3950", "universal", "palmer"])
@pytest.mark.parametrize("iso", ALL)
def test_there_and_back(iso: str, notation: ToothNotation) -> None:
    assert teeth.iso_of(teeth.text_of(iso, notation), notation) == iso


@pytest.mark.parametrize("notation", ["iso-3950", "universal", "palmer"])
def test_no_two_teeth_share_a_name(notation: ToothNotation) -> None:
    assert len({teeth.text_of(iso, notation) for iso in ALL}) == 52


def test_quadrant_and_position() -> None:
    assert teeth.palmer_of("21") == ("UL", "1")
    assert teeth.palmer_of("85") == ("LR", "E")
    assert teeth.iso_of_palmer("ll", "8") == "38"
    assert all(teeth.iso_of_palmer(*teeth.palmer_of(iso)) == iso for iso in ALL)


def test_anatomical_sides_of_known_teeth() -> None:
    """ISO 3950: the first digit is the quadrant, 1 being the patient's upper right, clockwise for the viewer."""
    assert [teeth.palmer_of(f"{quadrant}1").quadrant for quadrant in "12345678"] == ["UR", "UL", "LL", "LR"] * 2


def test_the_same_number_is_another_tooth_in_another_notation() -> None:
    assert teeth.iso_of("11", "iso-3950") == "11"
    assert teeth.iso_of("11", "universal") == "23"


@pytest.mark.parametrize("text", ["a", "ul1", "UL 1", "UL-1", "UlE"])
def test_small_letters_and_a_gap_are_read(text: str) -> None:
    assert teeth.iso_of(text, "universal" if len(text) == 1 else "palmer") in ALL


@pytest.mark.parametrize("text", [*map(str, range(51, 83)), "AS", "TS", "js"])
def test_supernumerary_numbers_are_refused_with_a_remedy(text: str) -> None:
    """Universal adds 50 to the adjacent permanent tooth and S to the deciduous letter; ISO 3950 has no code."""
    with pytest.raises(Refused, match="supernumerary") as caught:
        teeth.iso_of(text, "universal")
    assert "adjacent" in caught.value.remedy


@pytest.mark.parametrize("text", ["00", "01", "02", "03", "08", "10", "20", "30", "40"])
def test_areas_of_the_mouth_are_no_teeth(text: str) -> None:
    with pytest.raises(Refused, match="area"):
        teeth.iso_of(text, "iso-3950")


@pytest.mark.parametrize(
    ("text", "notation"),
    [
        *[(text, "iso-3950") for text in ("", "9", "19", "49", "56", "86", "1", "111", "1.1", "\u0661\u0661", "UL1")],
        *[(text, "universal") for text in ("", "0", "33", "50", "83", "U", "US", "8.0", "08", "\u0131", "\uff18")],
        *[(text, "palmer") for text in ("", "U1", "UL9", "ULF", "1UL", "UL11", "UL0", "\u23cc1", "UL1\n")],
    ],
)
def test_what_is_no_tooth_is_refused(text: str, notation: ToothNotation) -> None:
    with pytest.raises(Refused, match="no tooth"):
        teeth.iso_of(text, notation)


@pytest.mark.parametrize("iso", ["", "99", "8", "UL1"])
def test_only_iso_codes_are_written_in_other_notations(iso: str) -> None:
    for notation in ("iso-3950", "universal", "palmer"):
        with pytest.raises(Refused):
            teeth.text_of(iso, notation)
    with pytest.raises(Refused):
        teeth.palmer_of(iso)


def test_what_is_no_quadrant_is_refused() -> None:
    with pytest.raises(Refused, match="no tooth"):
        teeth.iso_of_palmer("UP", "1")
