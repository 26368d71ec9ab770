"""The rows of colours: one a zone, from the gum to the edge, each with how it is known."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Final, NamedTuple

from shadefmt.chain.colours import Triple, lab_of, xyz_of
from shadefmt.colour.single import xyz_to_lab
from shadefmt.colour.weights import white_point
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView, Located
from shadefmt.model.colours import Colour, Spread
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Mean, Reading
from shadefmt.rendering.account.apart import apart, direction_words
from shadefmt.rendering.account.choices import Nearest, choice_words, nearest
from shadefmt.rendering.account.names import colour_name, reading_places, specimen_name, zone_name
from shadefmt.rendering.dates import date_words
from shadefmt.rendering.figures import as_given, counted, listed, rounded_to
from shadefmt.rendering.words import LAMPS, OBSERVERS, ORIGINS, ZONES
from shadefmt.rendering.work_words import TARGETS

ZONE_ORDER: Final = tuple(ZONES)


class ColourRow(NamedTuple):
    """A colour with its place. `lab` is as given, `spread` how far single readings lie from their mean."""

    entry_id: str
    specimen: str
    zone: str
    order: tuple[int, int]
    lab: tuple[str, str, str] | None
    values: Triple | None
    basis: tuple[str, str] | None
    spread: str | None
    how_known: str
    nearest: list[Nearest]
    from_above: str = ""


def targets_that_count(view: CaseView) -> list[Target]:
    """Return the targets that were neither withdrawn nor replaced by one that counts."""
    present = [each for each in view.case.targets or () if each.id not in view.withdrawn]
    replaced = {each.supersedes_id for each in present}
    return [each for each in present if each.id not in replaced] or present


def target_rows(view: CaseView) -> list[ColourRow]:
    """Return the colours to reach."""
    return _ordered(_target_row(view, each) for each in targets_that_count(view))


def read_rows(view: CaseView) -> list[ColourRow]:
    """Return the colours that were read and that no target was taken from: means, then readings in no mean."""
    taken = {each.source_id for each in targets_that_count(view)}
    means = [each for each in view.case.means or () if each.id not in view.withdrawn]
    averaged = {each for mean in means for each in mean.reading_ids}
    rows = [_mean_row(view, each) for each in means if each.id not in taken]
    for reading in view.case.readings or ():
        if reading.id not in averaged | taken | view.withdrawn:
            rows.append(_reading_row(view, reading))
    return _ordered(rows)


def reading_rows(view: CaseView, specimen_id: str) -> list[ColourRow]:
    """Return what was read of one specimen: means, then readings in no mean."""
    means = [each for each in view.case.means or () if each.id not in view.withdrawn]
    averaged = {each for mean in means for each in mean.reading_ids}
    readings = [each for each in view.case.readings or () if each.specimen_id == specimen_id]
    own = {each.id for each in readings}
    rows = [_mean_row(view, each) for each in means if own & set(each.reading_ids)]
    rows += [_reading_row(view, each) for each in readings if each.id not in averaged | view.withdrawn]
    return _ordered(rows)


def basis_words(basis: tuple[str, str]) -> str:
    """Return illuminant and observer in words."""
    return f"{LAMPS[basis[0]]}, {OBSERVERS[basis[1]]}"


def _target_row(view: CaseView, target: Target) -> ColourRow:
    source = view.entries.get(target.source_id) if target.source_id is not None else None
    how = TARGETS[target.source_kind]
    if source is not None:
        how = f"measured: {colour_name(view, source)}" if source.list_name != "references" else "chosen: "
        how += f"{colour_name(view, source)}" if source.list_name == "references" else _count(view, source)
    if target.set_at is not None:
        how += f"; set on {date_words(target.set_at)}"
    spread = source.entry.spread if source is not None and isinstance(source.entry, Mean) else None
    place = (_place(view, target.specimen_id), ZONE_ORDER.index(target.zone))
    return _row(
        target.id,
        specimen_name(view, target.specimen_id),
        zone_name(target.zone),
        place,
        target.colour,
        spread,
        how,
        nearest(view, target.id, target.source_id),
    )


def _count(view: CaseView, source: Located) -> str:
    readings = view.readings_behind(source)
    return f", {counted(len(readings), 'reading')}" if readings else ""


def _mean_row(view: CaseView, mean: Mean) -> ColourRow:
    readings = view.readings_behind(view.entries.get(mean.id))
    specimens = listed(sorted({specimen_name(view, each.specimen_id) for each in readings}))
    place = min(((_place(view, each.specimen_id), ZONE_ORDER.index(each.zone)) for each in readings), default=(0, 0))
    return _row(
        mean.id,
        specimens or mean.id,
        listed(reading_places(readings)) or "zone not stated",
        place,
        mean.colour,
        mean.spread,
        f"mean of {counted(len(mean.reading_ids), 'reading')}, {ORIGINS[mean.of_origin]}",
        nearest(view, mean.id),
    )


def _reading_row(view: CaseView, reading: Reading) -> ColourRow:
    located = view.entries[reading.id]
    colours = view.colours(located) if located.list_name == "readings" else []
    how = "one reading" if colours else "one reading of the spectrum, no colour computed"
    if reading.visual is not None:
        how = choice_words(view, reading.visual) + (", beside a reading" if colours else "")
    place = (_place(view, reading.specimen_id), ZONE_ORDER.index(reading.zone))
    return _row(
        reading.id,
        specimen_name(view, reading.specimen_id),
        zone_name(reading.zone, reading.column, reading.region),
        place,
        colours[0] if colours else None,
        None,
        how,
        nearest(view, reading.id),
    )


def _row(
    entry_id: str,
    specimen: str,
    zone: str,
    order: tuple[int, int],
    colour: Colour | None,
    spread: Spread | None,
    how_known: str,
    close: list[Nearest],
) -> ColourRow:
    values = _lab(colour)
    decimals = colour.decimals if colour is not None else 0
    lab = tuple(as_given(each, decimals) for each in values) if values is not None else None
    if colour is not None and colour.lab is None and values is not None:
        lab, how_known = tuple(rounded_to(each, 2) for each in values), f"{how_known}; from tristimulus values"
    basis = (colour.illuminant, colour.observer) if colour is not None else None
    how_far = _spread(spread)
    return ColourRow(
        entry_id,
        specimen,
        zone,
        order,
        (lab[0], lab[1], lab[2]) if lab else None,
        values,
        basis,
        how_far,
        how_known,
        close,
    )


def _lab(colour: Colour | None) -> Triple | None:
    if colour is None:
        return None
    if colour.lab is not None:
        return lab_of(colour.lab)
    if colour.xyz is None or "unknown" in (colour.illuminant, colour.observer):
        return None
    try:
        return xyz_to_lab(xyz_of(colour.xyz), white_point(colour.illuminant, colour.observer))
    except (WrongUse, ArithmeticError, ValueError):
        return None


def _spread(spread: Spread | None) -> str | None:
    """Return how far readings lie from their mean: the stated MCDM, else the root of the summed variances."""
    if spread is None:
        return None
    if spread.mcdm is not None:
        return rounded_to(spread.mcdm, 2)
    variances = [each for each in (spread.var_L, spread.var_a, spread.var_b) if each is not None]
    if len(variances) == 3 and spread.covariance_of == "reading":
        return rounded_to(sum(variances) ** 0.5, 2)
    return None


def _place(view: CaseView, specimen_id: str) -> int:
    ids = [each.id for each in view.case.specimens]
    return ids.index(specimen_id) if specimen_id in ids else len(ids)


def _ordered(rows: Iterable[ColourRow]) -> list[ColourRow]:
    """Return rows by specimen and zone, each with how it lies from the row above of the same specimen."""
    found = sorted(rows, key=lambda each: each.order)
    for place, (above, row) in enumerate(pairwise(found), start=1):
        same = above.specimen == row.specimen and above.basis == row.basis and above.zone != row.zone
        if same and above.values is not None and row.values is not None and "unknown" not in (row.basis or ()):
            between = apart(above.values, row.values)
            if between is not None:
                words = direction_words(between) or "hardly another colour"
                found[place] = row._replace(from_above=f"{words}: {between.difference:.1f} from the row above")
    return found
