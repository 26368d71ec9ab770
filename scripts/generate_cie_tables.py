"""Write shadefmt/colour/data from the CIE tables that colour-science carries; run by hand, checked by a test.

Every table has one row per nanometre. How each illuminant gets from its published 5 nm values to 1 nm:

* A: the formula of ISO/CIE 11664-2 (Planck, 2848 K with c2 = 1.435e7 nm K), 360-830 nm.
* D65: linear interpolation, which is how the 1 nm table of ISO/CIE 11664-2 arises from the 5 nm one.
* D50, D55, D75, C, FL and LED: Sprague interpolation (CIE 167:2005, evenly spaced data). These are the tables
  whose column sums meet the white points of ASTM E308; linear interpolation misses them by up to 0.12.
* Above 780 nm, where colour-science stops, the D series goes on to 830 nm with the daylight components S0, S1
  and S2 and the factors M1 and M2 rounded to three decimals (CIE 15:2018); below 780 nm that formula gives
  the published table.
"""

import sys
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

FIRST_NM, LAST_NM = 360, 830
DATA = Path(__file__).resolve().parent.parent / "shadefmt" / "colour" / "data"
OBSERVERS = {
    "2-degree": "CIE 1931 2 Degree Standard Observer",
    "10-degree": "CIE 1964 10 Degree Standard Observer",
}
DAYLIGHTS = {"D50": 5000, "D55": 5500, "D65": 6500, "D75": 7500}
ILLUMINANTS = ("A", "C", *DAYLIGHTS, "FL2", "FL7", "FL11", "LED-B3")

Array = npt.NDArray[np.float64]


def planck_a(nm: Array) -> Array:
    """Relative power of illuminant A, 100 at 560 nm (ISO/CIE 11664-2)."""
    c2, kelvin = 1.435e7, 2848.0
    power: Array = 100 * (560 / nm) ** 5 * np.expm1(c2 / (kelvin * 560)) / np.expm1(c2 / (kelvin * nm))
    return power


def daylight_factors(nominal_kelvin: int) -> tuple[float, float]:
    """M1 and M2 of a CIE daylight illuminant, three decimals, temperature corrected for c2 (CIE 15:2018)."""
    t = nominal_kelvin * 1.4388 / 1.4380
    if t <= 7000:
        x = 0.244063 + 0.09911e3 / t + 2.9678e6 / t**2 - 4.6070e9 / t**3
    else:
        x = 0.237040 + 0.24748e3 / t + 1.9018e6 / t**2 - 2.0064e9 / t**3
    y = -3.000 * x * x + 2.870 * x - 0.275
    divisor = 0.0241 + 0.2562 * x - 0.7341 * y
    return (
        round((-1.3515 - 1.7703 * x + 5.9114 * y) / divisor, 3),
        round((0.0300 - 31.4424 * x + 30.0717 * y) / divisor, 3),
    )


def published(colour: Any, name: str) -> tuple[Array, Array]:
    """Wavelengths and powers of an illuminant at 5 nm; daylight continued to 830 nm."""
    table = colour.SDS_ILLUMINANTS[name]
    nm, power = np.array(table.wavelengths), np.array(table.values)
    if name not in DAYLIGHTS:
        return nm, power
    m1, m2 = daylight_factors(DAYLIGHTS[name])
    components = colour.colorimetry.SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES
    tens = np.arange(780, LAST_NM + 1, 10.0)
    s0, s1, s2 = (np.array(components[key][tens]) for key in ("S0", "S1", "S2"))
    beyond = np.arange(785, LAST_NM + 1, 5.0)
    continued = np.round(np.interp(beyond, tens, s0 + m1 * s1 + m2 * s2), 4)
    return np.concatenate([nm, beyond]), np.concatenate([power, continued])


def illuminant_table(colour: Any, name: str) -> tuple[Array, Array]:
    """Wavelengths and relative powers of an illuminant at 1 nm, within 360-830 nm, six decimals."""
    if name == "A":
        nm = np.arange(FIRST_NM, LAST_NM + 1.0)
        return nm, np.round(planck_a(nm), 6)
    fives, power = published(colour, name)
    nm = np.arange(max(FIRST_NM, fives[0]), min(LAST_NM, fives[-1]) + 1.0)
    fine = np.interp(nm, fives, power) if name == "D65" else colour.SpragueInterpolator(fives, power)(nm)
    return nm, np.round(np.maximum(fine, 0.0), 6) + 0.0  # a few swing below zero beside steep flanks


def rows(header: str, nm: Array, *columns: Array) -> str:
    """A comma-separated table with the shortest spelling of each number and LF line ends."""
    lines = [header]
    for index, wavelength in enumerate(nm):
        numbers = (repr(float(column[index])).removesuffix(".0") for column in columns)
        lines.append(",".join([str(int(wavelength)), *numbers]))
    return "\n".join(lines) + "\n"


def tables(colour: Any) -> dict[str, str]:
    """File name -> text, for every table."""
    texts = {}
    for short, long in OBSERVERS.items():
        cmfs = colour.MSDS_CMFS[long]
        texts[f"observer-{short}.csv"] = rows("nm,x,y,z", cmfs.wavelengths, *np.array(cmfs.values).T)
    for name in ILLUMINANTS:
        texts[f"illuminant-{name}.csv"] = rows("nm,power", *illuminant_table(colour, name))
    return texts


def main(arguments: list[str]) -> int:
    """Write all tables into the data folder, or with `--check` say which differ from it; 1 if any does."""
    import colour

    expected = {DATA / name: text for name, text in tables(colour).items()}
    if arguments == ["--check"]:
        stale = [path.name for path, text in expected.items() if path.read_text(encoding="ascii") != text]
        sys.stdout.write(f"{', '.join(stale) or 'no table'} to write again\n")
        return bool(stale)
    DATA.mkdir(exist_ok=True)
    for path, text in expected.items():
        path.write_text(text, encoding="ascii", newline="\n")
        sys.stdout.write(f"{path.name}: {len(text)} bytes\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
