"""Write schema/1.0/tables: CIE tables and measured adaptation errors of the package; --check only compares.

They are part of the specification. The values are those of `shadefmt/colour/data`, digit for digit; the header lines
say what the columns are. The tables of the package are compared with their source by the tests of
`shadefmt.colour.tables`.
"""

import sys
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent
DATA: Final = ROOT / "shadefmt" / "colour" / "data"
TABLES: Final = ROOT / "schema" / "1.0" / "tables"

ERRORS: Final = (
    "illuminant,observer,new_illuminant,new_observer,method,region,mean,p95,largest,published_spectra,synthetic_spectra"
)

HEADERS: Final = {
    "observer": ("nm,x,y,z", "wavelength_nm,x_bar,y_bar,z_bar"),
    "illuminant": ("nm,power", "wavelength_nm,relative_power"),
    "adaptation": (ERRORS, ERRORS),
}
"""Header of the package's tables and of the published ones, by the first word of the file name."""


def expected() -> dict[str, str]:
    """Return the text of each table by file name.

    Raises:
        ValueError: a table of the package has another header than is known here.
    """
    made = {}
    for path in sorted(DATA.glob("*.csv")):
        kind = path.name.partition("-")[0]
        if kind in HEADERS:
            header, _, rows = path.read_text(encoding="ascii").partition("\n")
            known, published = HEADERS[kind]
            if header != known:
                raise ValueError(f"{path.name} begins with {header!r}, not {known!r}")
            made[path.name] = f"{published}\n{rows}"
    return made


def main() -> int:
    """Write or compare; 1 where a table is stale or does not belong there."""
    made = expected()
    there = {path.name: path.read_text(encoding="ascii") for path in TABLES.glob("*.csv")}
    stale = sorted(name for name in {*made, *there} if made.get(name) != there.get(name))
    if "--check" in sys.argv:
        print("stale: " + ", ".join(stale) if stale else "the tables are fresh")
        return int(bool(stale))
    TABLES.mkdir(exist_ok=True)
    for name in set(there) - set(made):
        (TABLES / name).unlink()
    for name, text in made.items():
        (TABLES / name).write_text(text, encoding="ascii", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
