"""Cells above a table that hold for all of its rows: they become constants of the mapping."""

from typing import Any, Final

from shadefmt.converters.base import Account
from shadefmt.converters.table.body import TableBody, bare_label
from shadefmt.converters.table.cells import CellForm, cell_reader
from shadefmt.converters.table.fields import placed
from shadefmt.converters.table.members import member_of, shown
from shadefmt.converters.table.numbers import NumberForm, NumberReader
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import LabelledCell, MappedColour, MappedConstant, TableMapping

_COLOUR: Final = "reading.colour."
_BASIS: Final = ("illuminant", "observer", "origin")


def with_labelled(mapping: TableMapping, body: TableBody, account: Account) -> TableMapping:
    """Return the mapping with what the labelled cells of one table say, as if it were stated.

    Raises:
        Refused: a label is not there, or its cell cannot be read.
        WrongUse: a coordinate would be the same for all rows.
    """
    constants = list(mapping.constants or ())
    basis: dict[str, Any] = {}
    for each in mapping.labelled or ():
        if each.member.startswith((f"{_COLOUR}lab.", f"{_COLOUR}xyz.")):
            raise WrongUse(f"the mapping takes {each.member} from above the table: it takes a column")
        value = _value(each, mapping, body, account)
        name = each.member.removeprefix(_COLOUR)
        if name in _BASIS:
            basis[name] = value
        else:
            text = str(value).lower() if isinstance(value, bool) else str(value)
            constants.append(MappedConstant(member=each.member, value=text))
    if basis:
        given = mapping.colours or (MappedColour(),)
        stated = [colour.model_copy(update={**basis, **_stated(colour)}) for colour in given]
        mapping = mapping.model_copy(update={"colours": stated})
    return mapping.model_copy(update={"constants": constants or None})


def _stated(colour: MappedColour) -> dict[str, Any]:
    return {name: value for name in _BASIS if (value := getattr(colour, name)) is not None}


def _value(each: LabelledCell, mapping: TableMapping, body: TableBody, account: Account) -> Any:
    label, member = bare_label(each.label), member_of(each.member)
    if label not in body.labelled:
        raise Refused(
            f"there is no cell {shown(label)} with another after it above the table",
            where=f"line {body.header.line}",
            remedy="mend the label in the mapping, or state a constant instead",
        )
    line, text = body.labelled[label]
    if member.sort == "tooth" and mapping.tooth_notation is None:
        raise WrongUse("the mapping has a tooth above the table but no tooth_notation: state it, it is never guessed")
    form = CellForm(
        number=NumberReader(NumberForm(mapping.dialect.decimal_mark, mapping.dialect.thousands_mark)),
        notation=mapping.tooth_notation or "iso-3950",
        date_order=each.date_order,
        vocabulary=tuple(each.vocabulary or ()),
    )
    try:
        found = cell_reader(member, form)(text)
    except Refused as fault:
        raise placed(fault, line, f"the cell after {shown(label)}") from None
    if found is None:
        raise AssertionError("a labelled cell is not blank")
    path = f"cell after {shown(label)}"
    if found[1]:
        account.converted(path, member.target, "as the mapping says")
    else:
        account.kept(path, member.target)
    return found[0]
