"""Sheets as flat OpenDocument text, and LibreOffice Calc as the program that writes them in other forms."""

import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

NAMESPACES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
    "number": "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0",
    "style": "urn:oasis:names:tc:opendocument:xmlns:style:1.0",
    "of": "urn:oasis:names:tc:opendocument:xmlns:of:1.2",
}
PARTS = {"d": "day", "m": "month", "y": "year", "H": "hours", "M": "minutes"}
LANGUAGES = {"de": "DE", "en": "US", "fr": "FR", "pt": "PT", "da": "DK"}


@dataclass(frozen=True)
class Number:
    """A cell with a number and how it is shown: decimals, language of its marks, with groups, as percentage."""

    value: float
    decimals: int | None = 2
    language: str = "de"
    grouped: bool = False
    percent: bool = False
    scientific: bool = False


@dataclass(frozen=True)
class Moment:
    """A cell with a date and time, and how it is shown: `dmy` or `mdy`, with what between the parts."""

    value: str
    order: str = "dmy"
    mark: str = "."
    language: str = "de"


@dataclass(frozen=True)
class Fault:
    """A cell whose formula divides by zero."""


Cell = str | Number | Moment | Fault | None
Sheet = Sequence[Sequence[Cell]]


def flat(sheet: Sheet) -> str:
    """Return a sheet as flat OpenDocument text; each shown form of a number is a style of its own."""
    styles: dict[str, str] = {}
    rows = "\n".join(
        f"<table:table-row>{''.join(_cell(cell, styles) for cell in row)}</table:table-row>" for row in sheet
    )
    spaces = " ".join(f'xmlns:{prefix}="{name}"' for prefix, name in NAMESPACES.items())
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<office:document {spaces} office:version="1.2" '
        f'office:mimetype="{kind}"><office:automatic-styles>{"".join(styles.values())}</office:automatic-styles>'
        f'<office:body><office:spreadsheet><table:table table:name="Sheet">\n{rows}\n'
        f"</table:table></office:spreadsheet></office:body></office:document>\n"
    )


def _cell(cell: Cell, styles: dict[str, str]) -> str:
    match cell:
        case None:
            return "<table:table-cell/>"
        case str():
            lines = "".join(f"<text:p>{escape(line)}</text:p>" for line in cell.split("\n"))
            return f'<table:table-cell office:value-type="string">{lines}</table:table-cell>'
        case Number():
            kind = "percentage" if cell.percent else "float"
            return (
                f"<table:table-cell{_styled(cell, styles)} office:value-type={quoteattr(kind)} "
                f'office:value="{cell.value!r}"/>'
            )
        case Moment():
            return (
                f'<table:table-cell{_styled(cell, styles)} office:value-type="date" office:date-value="{cell.value}"/>'
            )
        case Fault():
            return '<table:table-cell table:formula="of:=1/0" office:value-type="float" office:value="0"/>'


def _styled(cell: Number | Moment, styles: dict[str, str]) -> str:
    """Return the attribute that names the style of a cell, and see that the style is there; none for plain numbers."""
    if isinstance(cell, Number):
        if cell.decimals is None:
            return ""
        form = f"{cell.language}{cell.decimals}{'g' * cell.grouped}{'p' * cell.percent}{'s' * cell.scientific}"
        body, kind = _number_form(cell)
    else:
        form = f"{cell.language}{cell.order}{ord(cell.mark)}"
        body, kind = _moment_form(cell), "date"
    place = f'number:language="{cell.language}" number:country="{LANGUAGES[cell.language]}"'
    styles[form] = (
        f'<number:{kind}-style style:name="N{form}" {place}>{body}</number:{kind}-style>'
        f'<style:style style:name="c{form}" style:family="table-cell" style:data-style-name="N{form}"/>'
    )
    return f' table:style-name="c{form}"'


def _number_form(cell: Number) -> tuple[str, str]:
    places = f'number:decimal-places="{cell.decimals}" number:min-decimal-places="{cell.decimals}"'
    if cell.scientific:
        return f'<number:scientific-number {places} number:min-integer-digits="1" number:min-exponent-digits="2"/>', (
            "number"
        )
    groups = ' number:grouping="true"' if cell.grouped else ""
    sign = "<number:text> %</number:text>" if cell.percent else ""
    kind = "percentage" if cell.percent else "number"
    return f'<number:number {places}{groups} number:min-integer-digits="1"/>{sign}', kind


def _moment_form(cell: Moment) -> str:
    def part(letter: str) -> str:
        return f'<number:{PARTS[letter]} number:style="long"/>'

    day = f"<number:text>{cell.mark}</number:text>".join(map(part, cell.order))
    return f"{day}<number:text> </number:text>{part('H')}<number:text>:</number:text>{part('M')}"


class Calc:
    """LibreOffice Calc without a window, with a profile of its own that is thrown away."""

    def __init__(self, folder: Path) -> None:
        program = shutil.which("soffice")
        if program is None:
            raise SystemExit("LibreOffice is not installed: apt-get install --no-install-recommends libreoffice-calc")
        self._program = program
        self._folder = folder

    def written(self, sheet: Sheet, form: str) -> bytes:
        """Return a sheet as Calc writes it in one form: `xlsx`, `ods`, or `csv:FILTER:TOKENS`."""
        with tempfile.TemporaryDirectory(dir=self._folder) as place:
            source = Path(place) / "sheet.fods"
            source.write_text(flat(sheet), encoding="utf-8")
            subprocess.run(
                [
                    *(self._program, f"-env:UserInstallation={(self._folder / 'profile').as_uri()}", "--headless"),
                    *("--convert-to", form, "--outdir", place, str(source)),
                ],
                check=True,
                capture_output=True,
                timeout=120,
            )
            return (Path(place) / f"sheet.{form.partition(':')[0]}").read_bytes()
