"""Measure how far chromatic adaptation lies from the exact change of condition; writes adaptation-errors.csv.

Every spectrum is computed exactly under every pair of conditions, adapted from the first to the second, and
the CIEDE2000 distance (colour-science) taken. Published spectra, all carried by colour-science:

* CIE 224:2017, 99 samples of the colour fidelity index, 380-780 nm
* CIE 13.3-1995, 14 test colours, 360-830 nm
* ISO 17321-1:2012, 24 patches, 380-780 nm
* Ohno and Davis 2008 (NIST colour quality scale 9.0), 15 test colours, 360-830 nm
* Luo 2024 (doi 10.1002/col.22940), 30 patches, 400-700 nm

Beside them synthetic tooth-like spectra: a logistic rise with small absorptions, on a fixed grid of
parameters. They stand for no measurement. Run by hand; a test repeats it and compares.
"""

import sys
from itertools import permutations, product
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from shadefmt.colour.adaptation import METHODS, REGIONS, Condition, adaptation_matrix, region_of
from shadefmt.colour.cielab import lab_to_xyz, xyz_to_lab
from shadefmt.colour.spectra import weighted_lab
from shadefmt.colour.tables import ILLUMINANTS, OBSERVERS
from shadefmt.colour.weights import weights_at, white_point

TARGET = Path(__file__).resolve().parent.parent / "shadefmt" / "colour" / "data" / "adaptation-errors.csv"
HEADER = (
    "illuminant,observer,new_illuminant,new_observer,method,region,mean,p95,largest,published_spectra,synthetic_spectra"
)

Array = npt.NDArray[np.float64]
Spectra = tuple[Array, Array]
"""Wavelengths (n) in nm and reflectance factors (m, n)."""


def published_spectra(colour: Any) -> list[Spectra]:
    """The published sets, in the order of the module's description."""
    fidelity = colour.quality.cfi2017.load_TCS_CIE2017(colour.SpectralShape(380, 780, 5))
    sets = [(np.array(fidelity.wavelengths), np.array(fidelity.values).T)]
    for group in (
        colour.quality.SDS_TCS["CIE 1995"],
        colour.SDS_COLOURCHECKERS["ISO 17321-1"],
        colour.quality.SDS_VS["NIST CQS 9.0"],
        colour.SDS_COLOURCHECKERS["PMC"],
    ):
        members = list(group.values())
        sets.append((np.array(members[0].wavelengths), np.array([member.values for member in members])))
    return sets


def synthetic_spectra(step_nm: float = 5.0) -> Spectra:
    """Tooth-like reflectance on a grid of parameters: 324 spectra, 380-780 nm."""
    nm = np.arange(380.0, 780.0 + step_nm, step_nm)
    spectra = []
    for low, high, middle, width, absorbed in product(
        (0.12, 0.22, 0.32), (0.45, 0.60, 0.80), (420, 450, 480, 510), (20, 35, 55), (0.0, 0.03, 0.06)
    ):
        rise = low + (high - low) / (1 + np.exp((middle - nm) / width))
        for centre, spread in ((418, 15), (545, 12), (577, 10)):
            rise *= 1 - absorbed * np.exp(-(((nm - centre) / spread) ** 2))
        spectra.append(rise)
    return nm, np.array(spectra)


def exact_colours(sets: list[Spectra]) -> dict[Condition, Array]:
    """CIELAB of all spectra of `sets`, one below the other, under every condition."""
    return {
        condition: np.concatenate([weighted_lab(values, weights_at(*condition, nm.tolist())) for nm, values in sets])
        for condition in product(ILLUMINANTS, OBSERVERS)
    }


def distances(colour: Any, exact: dict[Condition, Array], pair: tuple[Condition, Condition], method: str) -> Array:
    """CIEDE2000 between the adapted and the exact colours of one pair of conditions."""
    source, target = pair
    matrix = np.array(adaptation_matrix(source, target, method))
    adapted = lab_to_xyz(exact[source], white_point(*source)) @ matrix.T
    return np.array(colour.delta_E(xyz_to_lab(adapted, white_point(*target)), exact[target], method="CIE 2000"))


def inside(lab: Array, region: str) -> npt.NDArray[np.bool_]:
    """Which colours an estimate for `region` may stand on: all of the wider region include the narrower's."""
    found = [region_of(row) for row in lab.tolist()]
    allowed = REGIONS[: REGIONS.index(region) + 1]
    return np.array([name in allowed for name in found])


def table(colour: Any) -> str:
    """The whole table as text."""
    published = exact_colours(published_spectra(colour))
    synthetic = exact_colours([synthetic_spectra()])
    masks = {
        (condition, region): (inside(published[condition], region), inside(synthetic[condition], region))
        for condition in published
        for region in REGIONS
    }
    lines = [HEADER]
    for pair in permutations(published, 2):
        for method in METHODS:
            far = distances(colour, published, pair, method), distances(colour, synthetic, pair, method)
            for region in REGIONS:
                parts = [each[mask] for each, mask in zip(far, masks[pair[0], region], strict=True)]
                figures = (
                    max(float(np.mean(part)) for part in parts),
                    max(float(np.percentile(part, 95)) for part in parts),
                    max(float(np.max(part)) for part in parts),
                )
                numbers = [f"{figure:.2f}" for figure in figures] + [str(len(part)) for part in parts]
                lines.append(",".join([*pair[0], *pair[1], method, region, *numbers]))
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write the table into the package's data."""
    import colour

    text = table(colour)
    TARGET.write_text(text, encoding="ascii", newline="\n")
    sys.stdout.write(f"{TARGET.name}: {len(text)} bytes\n")


if __name__ == "__main__":
    main()
