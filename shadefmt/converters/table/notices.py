"""What the owner of a table should know though it was read."""

from collections.abc import Iterator
from dataclasses import dataclass

from shadefmt.converters.table.plan import Plan


@dataclass(frozen=True, slots=True)
class Notice:
    """Something that is doubtful in a table: what, where first, and what can be done."""

    code: str
    where: str
    message: str
    remedy: str


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
