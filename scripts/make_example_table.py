"""Write schema/1.0/examples/chairside-table.csv: invented readings of an invented clinic, computed, not measured.

Each spectrum is a smooth logistic rise from a low to a high reflectance. Its parameters were chosen so that CIELAB
comes out where tooth and dentine lie; repeats differ by small fixed steps. CIELAB is computed (D65, 2 degree
observer) from the spectrum as it is printed, so that a reader who recomputes it gets the same figures.
"""

import csv
import io
import sys
from collections.abc import Iterator
from math import exp
from pathlib import Path

from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import weights

TARGET = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples" / "chairside-table.csv"

START_NM, STEP_NM, BANDS = 400, 10, 31
WIDTH_NM = 45

PLACES = (
    ("Zahn", "21", "zervikal", 0.2130, 0.5517, 522.6),
    ("Zahn", "21", "mittig", 0.2749, 0.5662, 514.0),
    ("Zahn", "21", "inzisal", 0.2749, 0.4720, 496.0),
    ("Stumpf", "11", "zervikal", 0.1039, 0.3764, 552.7),
    ("Stumpf", "11", "mittig", 0.1249, 0.3919, 546.3),
    ("Stumpf", "11", "inzisal", 0.1457, 0.4020, 542.1),
)
"""What was read, tooth, zone; low and high reflectance factor; wavelength of the middle of the rise in nm."""

REPEATS = ((0.0, 0.0), (-0.0016, 0.5), (0.0011, -0.4))
"""For each repeat: what is added to the reflectance, and to the wavelength of the middle in nm."""

HEADERS = (
    *("Pseudonym", "Objekt", "Zahn", "Zone", "Folge", "Neu aufgesetzt", "Zeitpunkt"),
    *("Sitzung begonnen", "Kalibriert", "Kalibrierung", "L*", "a*", "b*"),
    *(f"R {START_NM + STEP_NM * band} nm" for band in range(BANDS)),
)


def spectrum(low: float, high: float, middle_nm: float) -> list[float]:
    """Return reflectance in percent with two decimals, one value for each band."""
    rise = (exp(-(START_NM + STEP_NM * band - middle_nm) / WIDTH_NM) for band in range(BANDS))
    return [round(100 * (low + (high - low) / (1 + each)), 2) for each in rise]


def rows() -> Iterator[list[str]]:
    """Yield the rows of the table as text."""
    basis = weights("D65", "2-degree", START_NM, STEP_NM, BANDS)
    number = 0
    for thing, tooth, zone, low, high, middle_nm in PLACES:
        for more, shift_nm in REPEATS:
            number += 1
            percent = spectrum(low + more, high + more, middle_nm + shift_nm)
            lab = xyz_to_lab(spectrum_to_xyz([each / 100 for each in percent], basis), basis.white)
            yield [
                *("w4Tn8s", thing, tooth, zone, str(number), "ja"),
                f"2026-03-04T09:{13 + number // 4}:{(number % 4) * 15:02}+01:00",
                *("2026-03-04T09:12:00+01:00", "2026-03-04T09:10:30+01:00", "bestanden"),
                *(f"{value:.2f}".replace(".", ",") for value in (*lab, *percent)),
            ]


def table_text() -> str:
    """Return the whole file: two lines of heading, a line of headers, a row for each reading."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";", lineterminator="\n")
    writer.writerow(["Larch Lane, Farbmessung am Stuhl"])
    writer.writerow([])
    writer.writerow(HEADERS)
    writer.writerows(rows())
    return text.getvalue()


def main() -> int:
    """Write the file; with --check only say whether it is fresh."""
    data = table_text().encode()
    if "--check" in sys.argv:
        fresh = TARGET.is_file() and TARGET.read_bytes() == data
        print("the example table is fresh" if fresh else "the example table is stale")
        return int(not fresh)
    TARGET.write_bytes(data)
    return 0


if __name__ == "__main__":
    sys.exit(main())
