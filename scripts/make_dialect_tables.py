"""Write tests/converters/table/: exports of invented readings as a spreadsheet program writes them.

It needs LibreOffice Calc (made with 7.4 on Debian: apt-get install --no-install-recommends libreoffice-calc) and is
therefore none of the scripts that a check runs; the files are committed. Beside each file stand the mapping that
reads it (`NAME.shade.json`) and what is to come of it (`NAME.expected.json`), both made from the invented readings
and never from the file. `sheet.ods` and `sheet.xlsx` hold the table of `semicolon-decimal-comma`.

What Calc's filter "Text - txt - csv (StarCalc)" takes, by the place of the token: 1 delimiter, as the number of its
character; 2 quote, likewise, 0 for none; 3 encoding (76 UTF-8, 65535 UTF-16, 1 Windows-1252); 4 first line; 5 formats
of columns; 6 language; 7 quotes around every text; 8 cells as they are shown, else as they are stored.
What it cannot write, as tried with 7.4: UTF-8 with a byte order mark (the three bytes are put before the file here),
UTF-16 without one or with the high byte first, delimiters of several characters, another line end than the system's,
quotes around numbers (`all-quoted` holds texts only). Letters that an encoding lacks become question marks.
"""

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from scripts.dialects.exports import exports
from scripts.dialects.sheets import Calc

TARGET = Path(__file__).resolve().parent.parent / "tests" / "converters" / "table"
SHOWN = ",,0,false,true"
"""Tokens 5 to 8 unless an export says otherwise: only what must be is quoted, cells as they are shown."""


def main() -> int:
    """Write all files, or those named."""
    TARGET.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        calc = Calc(Path(folder))
        for export in exports():
            if sys.argv[1:] and export.name not in sys.argv[1:]:
                continue
            tokens = export.tokens if export.tokens.count(",") > 3 else export.tokens + SHOWN
            data = calc.written(export.sheet, f"csv:Text - txt - csv (StarCalc):{tokens}")
            (TARGET / f"{export.name}.csv").write_bytes(export.mark + data)
            _write_json(f"{export.name}.shade.json", export.mapping)
            _write_json(f"{export.name}.expected.json", {"why": export.why, **export.expected})
            if export.name == "semicolon-decimal-comma":
                for form in ("ods", "xlsx"):
                    (TARGET / f"sheet.{form}").write_bytes(calc.written(export.sheet, form))
    return 0


def _write_json(name: str, value: Any) -> None:
    (TARGET / name).write_text(json.dumps(value, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
