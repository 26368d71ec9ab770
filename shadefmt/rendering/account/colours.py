"""The rows of colours: one a zone, from the gum to the edge, each with how it is known."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Final, NamedTuple

from shadefmt.chain.colours import Triple, lab_of, xyz_of
from shadefmt.colour.single import xyz_to_lab
from shadefmt.colour.weights import white_point
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView
from shadefmt.model.colours import Colour, Spread
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Mean, Reading
from shadefmt.rendering.account.apart import apart, direction_words
from shadefmt.rendering.account.choices import Nearest, nearest
from shadefmt.rendering.account.known import Known, of_mean, of_reading, of_target
from shadefmt.rendering.account.names import reading_places, specimen_name, zone_name
from shadefmt.rendering.figures import as_given, listed, rounded_to
from shadefmt.rendering.words import LAMPS, OBSERVERS, ZONES

ZONE_ORDER: Final = tuple(ZONES)


class _Place(NamedTuple):
    entry_id: str
    specimen: str
    zone: str
    order: tuple[int, int]


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
    how_short: tuple[str, ...]
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
    """Return the colours that were read and that no target was taken from: means, then readings in no mean.

    What was read of the stump under ordered work is left out; it is shown with what lies beneath.
    """
    taken = {each.source_id for each in targets_that_count(view)}
    beneath = {each.stump_specimen_id for each in view.case.prescriptions or () if each.id not in view.withdrawn}
    under = {each.id for each in view.case.readings or () if each.specimen_id in beneath}
    means = [each for each in view.case.means or () if each.id not in view.withdrawn]
    averaged = {each for mean in means for each in mean.reading_ids}
    rows = [_mean_row(view, each) for each in means if each.id not in taken and not under & set(each.reading_ids)]
    for reading in view.case.readings or ():
        if reading.id not in averaged | taken | view.withdrawn | under:
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
    return _row(
        _Place(
            target.id,
            specimen_name(view, target.specimen_id),
            zone_name(target.zone),
            (_at(view, target.specimen_id), ZONE_ORDER.index(target.zone)),
        ),
        target.colour,
        source.entry.spread if source is not None and isinstance(source.entry, Mean) else None,
        of_target(view, target),
        nearest(view, target.id, target.source_id),
    )


def _mean_row(view: CaseView, mean: Mean) -> ColourRow:
    readings = view.readings_of(mean)
    places = [(_at(view, each.specimen_id), ZONE_ORDER.index(each.zone)) for each in readings]
    return _row(
        _Place(
            mean.id,
            listed(sorted({specimen_name(view, each.specimen_id) for each in readings})) or mean.id,
            listed(reading_places(readings)) or "zone not stated",
            min(places, default=(len(view.case.specimens), 0)),
        ),
        mean.colour,
        mean.spread,
        of_mean(view, mean),
        nearest(view, mean.id),
    )


def _reading_row(view: CaseView, reading: Reading) -> ColourRow:
    colours = view.colours(view.entries[reading.id]) if view.find(reading.id, "readings") is reading else []
    return _row(
        _Place(
            reading.id,
            specimen_name(view, reading.specimen_id),
            zone_name(reading.zone, reading.column, reading.region),
            (_at(view, reading.specimen_id), ZONE_ORDER.index(reading.zone)),
        ),
        colours[0] if colours else None,
        None,
        of_reading(view, reading, bool(colours)),
        nearest(view, reading.id),
    )


def _row(place: _Place, colour: Colour | None, spread: Spread | None, known: Known, close: list[Nearest]) -> ColourRow:
    values = _lab(colour)
    texts: list[str] | None = None
    if colour is not None and values is not None:
        made = colour.lab is None
        texts = [rounded_to(each, 2) if made else as_given(each, colour.decimals) for each in values]
        if made:
            known = Known(f"{known.words}; from tristimulus values", known.short)
    return ColourRow(
        *place,
        lab=(texts[0], texts[1], texts[2]) if texts is not None else None,
        values=values,
        basis=(colour.illuminant, colour.observer) if colour is not None else None,
        spread=_spread(spread),
        how_known=known.words,
        how_short=known.short,
        nearest=close,
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
        return rounded_to(spread.mcdm, min(spread.decimals, 2))
    variances = [each for each in (spread.var_L, spread.var_a, spread.var_b) if each is not None]
    if len(variances) == 3 and spread.covariance_of == "reading":
        return rounded_to(sum(variances) ** 0.5, min(spread.decimals, 2))
    return None


def _at(view: CaseView, specimen_id: str) -> int:
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
