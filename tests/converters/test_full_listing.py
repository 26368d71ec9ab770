"""What `--full` promises of every format that is read: each loss has its place, each rounding its old and new number."""

import io
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from table_mappings import COLOUR, KIND, Value, mapping
from test_cxf_corners import NAMESPACE, specification

from shadefmt.converters.formats import FORMATS, READ, Stated
from shadefmt.converters.table.sheets.target import Numeral, SheetTarget

HEADER = ["Tooth", "Note", "Seen by", "L*", "a*", "b*", "L* 2", "a* 2", "b* 2"]
ROW = ["21", "", "x", "74.1234", "1.25", "16.0625", "70.5", "", ""]
NUMBERS = range(3, 9)
BY = mapping(
    constants=[KIND, {"member": "reading.note", "value": "none"}],
    dialect={"encoding": "utf-8", "delimiter": "semicolon", "quote": "double", "decimal_mark": "point"},
    groups=[
        {"name": name, "constants": [{"member": "reading.zone", "value": zone}]}
        for name, zone in (("neck", "cervical"), ("body", "middle"))
    ],
    colours=[{**COLOUR, "decimals": 1}],
    columns=[
        {"column": "Tooth", "member": "specimen.tooth"},
        {"column": "Note", "member": "reading.note"},
        *({"column": f"{a}*", "member": f"reading.colour.lab.{a}", "group": "neck"} for a in "Lab"),
        *({"column": f"{a}* 2", "member": f"reading.colour.lab.{a}", "group": "body"} for a in "Lab"),
    ],
)


def rows(count: int) -> list[list[str]]:
    """Rows with a blank that has a default, a column that is not mapped, and roundings; every third has two readings."""
    second = [*ROW[:7], "0.25", "15.75"]
    none = [*ROW[:6], "", "", ""]
    return [second if place % 3 == 0 else none for place in range(count)]


def delimited(count: int) -> bytes:
    return "".join(f"{';'.join(row)}\n" for row in [HEADER, *rows(count)]).encode()


def sheet(form: Any) -> Callable[[int], bytes]:
    def made(count: int) -> bytes:
        typed: list[Sequence[str]] = [
            [Numeral(cell) if cell and place in NUMBERS else cell for place, cell in enumerate(row)]
            for row in rows(count)
        ]
        return SheetTarget(form, "point").written([HEADER, *typed])

    return made


def objects(count: int) -> bytes:
    """Objects of which each lacks much, holds what CxF3 does not know, and numbers with too many digits."""
    each = (
        '<Object ObjectType="T" Name="" Id="o{0}"><ColorValues odd="1">'
        '<ReflectanceSpectrum ColorSpecification="s1">0.41203333333333331 0.5 1e-12</ReflectanceSpectrum>'
        '<ColorCIELab ColorSpecification="s1"><L>74.31</L><A>1.203333333333333</A><B>15.77</B></ColorCIELab>'
        "<Odd/></ColorValues></Object>"
    )
    text = "".join(each.format(number) for number in range(count))
    return (
        f'<CxF xmlns="{NAMESPACE}"><Resources><ObjectCollection>{text}</ObjectCollection>'
        f"<ColorSpecificationCollection>{specification()}</ColorSpecificationCollection></Resources></CxF>"
    ).encode()


def sets(count: int) -> bytes:
    """A table with numbers of too many digits and halves of colours, and one without a measurement."""
    data = "75.123456789012\t1\t15\t0.3\t\t50\n" * count
    measured = (
        f"BEGIN_DATA_FORMAT\nLAB_L\tLAB_A\tLAB_B\tXYY_X\tXYY_Y\tXYY_CAPY\nEND_DATA_FORMAT\nBEGIN_DATA\n{data}END_DATA\n"
    )
    other = f"BEGIN_DATA_FORMAT\nCMYK_C\nEND_DATA_FORMAT\nBEGIN_DATA\n{'10' + chr(10)}END_DATA\n"
    return f'CGATS.17\nORIGINATOR\t"x"\n{measured}{other.replace("10" + chr(10), ("10" + chr(10)) * count)}'.encode()


FILES: dict[str, tuple[Callable[[int], bytes], Stated, set[str]]] = {
    "cxf": (objects, Stated(full=True), {"decimals-cut", "zone-unknown", "unknown-element", "unknown-attribute"}),
    "cgats": (sets, Stated(full=True), {"decimals-cut", "zone-unknown", "incomplete", "table-without-colour"}),
    **{
        name: (
            made,
            Stated(full=True, mapping=BY),
            {"table-number-rounded", "table-cell-defaulted", "table-column-unused"},
        )
        for name, made in (("table", delimited), ("xlsx", sheet("xlsx")), ("ods", sheet("ods")))
    },
}


@pytest.mark.parametrize("name", READ)
@pytest.mark.parametrize("count", [1, 7])
def test_every_loss_is_listed_in_full(name: str, count: int) -> None:
    make, stated, codes = FILES[name]
    read = FORMATS[name].read
    assert read is not None
    conversion = read(io.BytesIO(make(count)), stated)
    list(conversion.cases)
    lost: list[Value] = [item for item in conversion.loss()["items"] if "code" in item]
    assert codes <= {item["code"] for item in lost}
    assert {item["count"] for item in lost if item["code"] in codes} >= {count}
    for item in lost:
        assert len(item["instances"]) == item["count"], item
        assert item["fate"] != "rounded" or all({"before", "after"} <= each.keys() for each in item["instances"])
