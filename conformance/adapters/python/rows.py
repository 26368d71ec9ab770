"""The rows of a foreign file that was written, to be compared; no reader of the package takes part."""

import csv
import io
from datetime import date
from typing import Any, Final
from xml.etree import ElementTree

from python_calamine import CalamineWorkbook

Value = dict[str, Any]

_CXF: Final = "{http://colorexchangeformat.com/CxF3-core}"
_OWN_TAGS: Final = "org.shadefmt"
_SPECIFIED: Final = {
    "Illuminant": "TristimulusSpec/Illuminant",
    "Observer": "TristimulusSpec/Observer",
    "MeasurementType": "MeasurementSpec/MeasurementType",
    "Backing": "MeasurementSpec/Backing",
}
_DELIMITERS: Final = {"comma": ",", "semicolon": ";", "tab": "\t", "vertical-bar": "|"}
_QUOTES: Final = {"double": '"', "single": "'", "none": None}


def rows_of(form: str, data: bytes, mapping: Value) -> list[Value]:
    """The rows of a file as README.md says for its format."""
    if form == "cgats":
        return cgats_rows(data.decode("utf-8"))
    if form == "cxf":
        return cxf_rows(data)
    cells = table_cells(data, mapping["dialect"]) if form == "table" else sheet_cells(data)
    return headed(cells[mapping["layout"]["header_line"] - 1 :], _measured(mapping))


def cgats_rows(text: str) -> list[Value]:
    """The rows of all tables of a CGATS text by field name, cut at tabs; numbers as numbers where they are some."""
    rows: list[Value] = []
    lines = iter(text.splitlines())
    names: list[str] = []
    for line in lines:
        if line == "BEGIN_DATA_FORMAT":
            names = next(lines).split("\t")
        elif line == "BEGIN_DATA":
            while (line := next(lines)) != "END_DATA":
                rows.append(dict(zip(names, map(_cell, line.split("\t")), strict=True)))
    return rows


def cxf_rows(data: bytes) -> list[Value]:
    """The objects of a CxF3 file, each with its tags and values."""
    root = ElementTree.fromstring(data)
    specifications = {each.get("Id"): _specification(each) for each in root.iter(f"{_CXF}ColorSpecification")}
    return [_object(each, specifications) for each in root.iter(f"{_CXF}Object")]


def table_cells(data: bytes, dialect: Value) -> list[list[Any]]:
    """The cells of a delimited table."""
    quote = _QUOTES[dialect["quote"]]
    text = data.decode(dialect["encoding"])
    quoting = csv.QUOTE_NONE if quote is None else csv.QUOTE_MINIMAL
    lines = io.StringIO(text, newline="")
    rows = list(csv.reader(lines, delimiter=_DELIMITERS[dialect["delimiter"]], quotechar=quote, quoting=quoting))
    comma = dialect["decimal_mark"] == "comma"
    return [[each.replace(",", ".") if comma else each for each in row] for row in rows]


def sheet_cells(data: bytes) -> list[list[Any]]:
    """The cells of the first sheet; dates as texts, a cell is a number or a text as the sheet holds it."""
    rows = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python()
    return [[each.isoformat() if isinstance(each, date) else each for each in row] for row in rows]


def headed(rows: list[list[Any]], measured: set[str]) -> list[Value]:
    """Rows by their header; what stands in a column of measured numbers as a number."""
    names = rows[0]
    return [
        {
            name: float(cell) if isinstance(cell, str) and cell and _is_measured(name, measured) else cell
            for name, cell in zip(names, row, strict=True)
        }
        for row in rows[1:]
    ]


def _measured(mapping: Value) -> set[str]:
    colours = {each["column"] for each in mapping["columns"] if each["member"].startswith("reading.colour.")}
    return colours | {each["header_prefix"] for each in mapping.get("spectra", ())}


def _is_measured(name: str, measured: set[str]) -> bool:
    return name in measured or name.rstrip("0123456789") in measured


def _object(element: ElementTree.Element, specifications: dict[str | None, Value]) -> Value:
    tags = element.findall(f"{_CXF}TagCollection[@Name='{_OWN_TAGS}']/{_CXF}Tag")
    return {
        "Id": element.get("Id"),
        "CreationDate": element.findtext(f"{_CXF}CreationDate"),
        "tags": {each.get("Name"): each.get("Value") for each in tags},
        "values": [_value(each, specifications) for each in element.find(f"{_CXF}ColorValues") or ()],
    }


def _value(element: ElementTree.Element, specifications: dict[str | None, Value]) -> Value:
    made: Value = {"element": element.tag.removeprefix(_CXF)}
    if "Name" in element.attrib:
        made["Name"] = element.get("Name")
    if "StartWL" in element.attrib:
        made["StartWL"] = float(element.attrib["StartWL"])
    points = element.findall(f"{_CXF}SpectralPoint")
    if points:
        made["points"] = [[float(each.attrib["WL"]), float(each.text or "")] for each in points]
    else:
        made["numbers"] = [float(text) for part in element.itertext() for text in part.split()]
    return {**made, "specification": specifications[element.get("ColorSpecification")]}


def _specification(element: ElementTree.Element) -> Value:
    paths = {name: "/".join(_CXF + step for step in path.split("/")) for name, path in _SPECIFIED.items()}
    texts = {name: element.findtext(path) for name, path in paths.items()}
    grid = element.find(f"{_CXF}MeasurementSpec/{_CXF}WavelengthRange")
    return {
        **{name: text for name, text in texts.items() if text is not None},
        **(grid.attrib if grid is not None else {}),
    }


def _cell(text: str) -> str | float:
    if text.startswith('"'):
        return text[1:-1].replace('""', '"')
    try:
        return float(text)
    except ValueError:
        return text
