"""The public writer: the readings of one case as one CGATS file, with the account of what it cannot carry."""

from typing import Any, Final

from shadefmt.collecting import collector_paused
from shadefmt.converters.base import Account, ForeignFile, loss_report, source_info
from shadefmt.converters.cgats import layout
from shadefmt.converters.cgats.layout import TAB, quoted
from shadefmt.converters.cgats.marking import Marking
from shadefmt.converters.cgats.options import OWN_FIELDS
from shadefmt.converters.cgats.shapes import Row, Shape, Tables
from shadefmt.converters.demanding import demand_case
from shadefmt.converters.leaving import Leaving, Reason
from shadefmt.errors import Refused
from shadefmt.jsontext import canonical
from shadefmt.versions import FORMAT_NAME

Value = dict[str, Any]

_NO_PLACE: Final = Reason("no-place-in-cgats", "CGATS text has no place for it")
_STANDARD: Final = ("SAMPLE_ID", "SAMPLE_NAME")


def write_cgats(case: Value, *, full: bool = False) -> ForeignFile:
    """Write the readings of a case as CGATS text (ISO 28178): one table for each common shape.

    Rows of one table share wavelengths, illuminant, observer, origin, backing and what is known of the
    instrument. Further colours of a reading stand in tables of their own, under the same SAMPLE_ID.
    `read_cgats` with `fields=OWN_FIELDS` and `notation="iso-3950"` reads back what the loss report does not list.

    Args:
        case: a case as a document value.
        full: list every loss instead of the first few of each kind.

    Raises:
        WrongUse: not a case, or not one that fits the format.
        Refused: the case has no reading with numbers that counts.
    """
    demand_case(case, "CGATS text")
    with collector_paused():
        return _write(case, Account(full))


def _write(case: Value, account: Account) -> ForeignFile:
    leaving = Leaving(case, account)
    tables = Tables(case, leaving).rows()
    if not tables:
        raise Refused(
            "the case has no reading with a spectrum or a colour that counts",
            where="/readings",
            remedy="CGATS holds measured numbers and nothing else",
        )
    marking = Marking(case, leaving)
    marking.envelope()
    lines = ["ISO28178", f"ORIGINATOR{TAB}{quoted(FORMAT_NAME)}", *layout.case_line(case["id"])]
    for shape, rows in tables:
        lines += [*_table(case, shape, rows, marking), ""]
    data = "\n".join(lines).encode("utf-8")
    leaving.leave_rest(_NO_PLACE)
    written = len({row.reading for _, rows in tables for row in rows})
    source = source_info("case", canonical(case))
    loss = loss_report(source, account, target_format="cgats", documents=1, readings=written)
    return ForeignFile(data, loss)


def _table(case: Value, shape: Shape, rows: list[Row], marking: Marking) -> list[str]:
    texts = [marking.texts(row) for row in rows]
    fields = [name for member, name in OWN_FIELDS.items() if any(member in each for each in texts)]
    members = {name: member for member, name in OWN_FIELDS.items()}
    coordinates = [name for member in shape.members for name in layout.COORDINATES[member].values()]
    names = layout.spectral_names(shape) if shape.waves else []
    pairs = ["SPECTRAL_NM", "SPECTRAL_DEC"] * len(shape.waves)
    spectral = pairs if names is None else names
    marking.header(shape, rows)
    own = [name for name in fields if name not in _STANDARD] + (names or [])
    body = []
    for row, text in zip(rows, texts, strict=True):
        cells = [quoted(text.get(members[name], "")) for name in fields]
        cells += marking.colour(row, shape)
        cells += marking.spectrum(row, shape, pairs=names is None)
        body.append(TAB.join(cells))
    return [
        *layout.header_lines(shape),
        *layout.declared(own),
        f"NUMBER_OF_FIELDS{TAB}{len(fields) + len(coordinates) + len(spectral)}",
        "BEGIN_DATA_FORMAT",
        TAB.join([*fields, *coordinates, *spectral]),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS{TAB}{len(rows)}",
        "BEGIN_DATA",
        *body,
        "END_DATA",
    ]
