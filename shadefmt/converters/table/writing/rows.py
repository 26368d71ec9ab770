"""Readings side by side: those that agree in all columns of the whole row share one, one of each group."""

from collections.abc import Sequence

from shadefmt.converters.table.plan import Group
from shadefmt.converters.table.writing.placing import Placed
from shadefmt.converters.table.writing.rereading import Row


def rows_of(placed: Sequence[Placed], width: int) -> list[tuple[Row, list[Placed]]]:
    """Return rows and the readings in each, in the order of their first readings."""
    own = _own_columns([each.group.group for each in placed])
    rows: list[tuple[Row, list[Placed]]] = []
    open_rows: dict[tuple[tuple[tuple[int, str], ...], int], list[int]] = {}
    for each in placed:
        mine = own[id(each.group.group)]
        shared = tuple(sorted((index, text) for index, text in each.cells.items() if index not in mine))
        places = open_rows.setdefault((shared, 0), [])
        taken = open_rows.setdefault((shared, id(each.group)), [])
        if len(taken) == len(places):
            places.append(len(rows))
            rows.append(([""] * width, []))
        row, readings = rows[places[len(taken)]]
        taken.append(places[len(taken)])
        readings.append(each)
        for index, text in each.cells.items():
            row[index] = text
    return rows


def _own_columns(groups: Sequence[Group]) -> dict[int, set[int]]:
    """The columns of each group that no other group has."""
    columns = {id(group): _columns(group) for group in groups}
    own = {}
    for name, mine in columns.items():
        others = set().union(*(each for other, each in columns.items() if other != name))
        own[name] = mine - others
    return own if len(own) > 1 else {name: set() for name in own}


def _columns(group: Group) -> set[int]:
    measured = [columns for colour in group.colours for columns in colour.coordinates.values()]
    measured += [group.spectrum.columns] if group.spectrum else []
    fields = [each for each in (*group.common, *group.loose) if not each.shared]
    words = [word for colour in group.colours for word in colour.words.values() if not word.shared]
    indexes = [each.indexes for each in measured] + [each.indexes for each in (*fields, *words)]
    return {index for each in indexes for index in each}
