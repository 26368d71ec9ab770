"""What the owner of a table should know though it was read."""

from collections.abc import Iterator

from shadefmt.converters.base import Notice
from shadefmt.converters.table.plan import Plan
from shadefmt.converters.table.repeats import Repeats


def doubts(plan: Plan) -> Iterator[Notice]:
    """Yield what was noticed about the numbers of a table once all were read."""
    for group in plan.groups:
        if group.spectrum and group.spectrum.doubtful:
            line, most = group.spectrum.doubtful
            yield Notice(
                "table-scale-doubtful",
                f"line {line}",
                f"Read as {group.spectrum.scale}, the greatest value of the spectrum is the factor {most:g}.",
                "See whether the unit of the spectrum in the mapping is right.",
            )
        for colour in group.colours:
            if colour.mixed:
                yield Notice(
                    "table-decimals-mixed",
                    f"line {colour.mixed}",
                    "CIELAB and tristimulus values of one colour show different decimals; the larger is stated.",
                    "State decimals for the colour in the mapping.",
                )


def repeated(repeats: Repeats) -> Iterator[Notice]:
    """Yield what was noticed of rows that repeat or contradict another of their case."""
    same, contrary = repeats.same, repeats.contrary
    if same.count:
        yield Notice(
            "table-row-repeated",
            f"line {same.line}",
            f"Rows say the same as an earlier one of the case, this one as line {same.earlier}: {same.count}.",
            "Each was read as a reading of its own; delete those that are copies.",
        )
    if contrary.count:
        yield Notice(
            "table-rows-contradict",
            f"line {contrary.line}",
            "Rows give other numbers for a reading whose order or time an earlier row has, "
            f"this one that of line {contrary.earlier}: {contrary.count}.",
            "Each was read as a reading of its own; see which of them holds.",
        )
