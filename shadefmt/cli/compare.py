"""`shadefmt compare`: two colours, entries or specimens; a ledger; or what an archive says."""

import argparse
import sys
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from shadefmt.chain.colours import SpectrumColour, colour_under_own_light, expected_from_spectrum
from shadefmt.cli.archives import over_archives
from shadefmt.cli.cases import sound_case
from shadefmt.cli.lights import Light, read_light
from shadefmt.colour.formula import Formula, even_covariance
from shadefmt.colour.uncertainty import combined
from shadefmt.comparing import (
    NoColour,
    Side,
    adapted_entry,
    adapted_side,
    compare_sides,
    ledger_of,
    obstacles_between,
    side_of_entry,
    sides_of_specimens,
    typed_side,
)
from shadefmt.comparing.sides import Limit
from shadefmt.errors import WrongUse
from shadefmt.files import STANDARD, write_whole
from shadefmt.indexing import CaseView
from shadefmt.jsontext import line_form
from shadefmt.model.case import Case
from shadefmt.model.colours import Spectrum

Value = dict[str, Any]


def run(given: argparse.Namespace) -> int:
    """Compare and print; text for people, or one JSON object a line."""
    for place, row in enumerate(_rows(given)):
        if given.format == "json":
            write_whole(STANDARD, line_form(_rounded(row)))
        else:
            sys.stdout.write(("\n" if place else "") + _text(row))
    return 0


def _rows(given: argparse.Namespace) -> Iterator[Value]:
    by = Formula(given.formula, *given.factors)
    if given.pairs or given.repeatability or given.slips or given.coverage:
        yield from over_archives(given, by)
        return
    view = CaseView(_case(given.case)) if given.case else None
    if given.ledger:
        if view is None:
            raise WrongUse("a ledger needs --case FILE")
        yield ledger_of(view, [side_of_entry(view, each, *_basis(given)) for each in given.what], by)
        return
    if len(given.what) != 2:
        raise WrongUse("two things are compared: a standard and a trial")
    limit, parts = Limit(given.limit, given.rule) if given.limit is not None else None, dict(given.components)
    for standard, trial in _sides(given, view):
        row = compare_sides(standard, trial, by, parts, limit, _known(given, view, standard, trial))
        judged = row.get("decision", "cannot-be-compared") != "cannot-be-compared"
        yield row | _drawn(given, standard, trial, by, judged) | _under(given, standard, trial, by)


def _known(given: argparse.Namespace, view: CaseView | None, standard: Side, trial: Side) -> list[str]:
    if view is None:
        return []
    ids = (standard.name, trial.name)
    return obstacles_between(view, ids, _basis(given), given.question, dict(given.components))


def _case(path: str) -> Case:
    return Case.model_validate(sound_case(path).value)


def _basis(given: argparse.Namespace) -> tuple[str, str]:
    return given.illuminant, given.observer


def _sides(given: argparse.Namespace, view: CaseView | None) -> list[tuple[Side, Side]]:
    if given.specimens:
        if view is None:
            raise WrongUse("specimens need --case FILE")
        return sides_of_specimens(view, given.what[0], given.what[1], given.illuminant, given.observer)
    standard, trial = (_side(given, view, *each) for each in zip(given.what, _bases(given), strict=True))
    return [(standard, trial)]


def _bases(given: argparse.Namespace) -> tuple[tuple[str, str] | None, tuple[str, str] | None]:
    """Return what typed colours are known for, where that was said."""
    stated = (given.standard_basis, given.trial_basis)
    if given.adapt is None and any(stated):
        raise WrongUse("a colour of another illuminant or observer is only estimated; say --adapt CAT16 to have that")
    return stated


def _side(given: argparse.Namespace, view: CaseView | None, what: str, known_for: tuple[str, str] | None) -> Side:
    target = _basis(given)
    if "," in what or view is None:
        side = typed_side(what, what)
        return adapted_side(side, known_for, target, given.adapt) if known_for else side
    if known_for:
        raise WrongUse(f"{what} is an entry, and the case says what it is known for; leave the basis out")
    try:
        return side_of_entry(view, what, *target)
    except NoColour as fault:
        if given.adapt is None:
            raise WrongUse(f"{fault}; --adapt estimates it from another illuminant or observer") from None
        return adapted_entry(view, what, target, given.adapt)


def _drawn(given: argparse.Namespace, standard: Side, trial: Side, by: Formula, judged: bool) -> Value:
    if given.draws is None:
        return {}
    if standard.spread is None or trial.spread is None:
        raise WrongUse("drawing needs means of at least three readings on both sides")
    from shadefmt.colour.monte_carlo import monte_carlo, seeded

    # A component is known as a difference only; it is drawn alike in every direction.
    parts = even_covariance(trial.lab, combined(size for _, size in given.components), by)
    drawn = monte_carlo(
        seeded(given.seed), standard.lab, trial.lab, standard.spread, trial.spread.plus(parts), by=by, draws=given.draws
    )
    said = {each: getattr(drawn, each) for each in ("mean", "standard", "lower", "upper", "near_zero")}
    if judged:
        said["probability_of_conformity"] = drawn.probability(given.limit)
    return {"monte_carlo": {"seed": given.seed, "draws": given.draws, **said}}


def _under(given: argparse.Namespace, standard: Side, trial: Side, by: Formula) -> Value:
    """Return the difference under other lights, exact from the spectra of both sides."""

    def of(under: Callable[[Spectrum], SpectrumColour | None]) -> float:
        found = [under(each.spectrum) if each.spectrum is not None else None for each in (standard, trial)]
        if found[0] is None or found[1] is None:
            raise WrongUse(f"another light needs spectra on both sides; {standard.name} or {trial.name} has none")
        return by(found[0].lab, found[1].lab)

    rows = {light: of(partial(_known_light, light, given.observer)) for light in given.under}
    rows |= {light.name: of(partial(_own_light, light, given.observer)) for light in map(read_light, given.lights)}
    return {"under": rows} if rows else {}


def _known_light(illuminant: str, observer: str, spectrum: Spectrum) -> SpectrumColour | None:
    return expected_from_spectrum(spectrum, illuminant, observer)


def _own_light(light: Light, observer: str, spectrum: Spectrum) -> SpectrumColour | None:
    return colour_under_own_light(spectrum, light.wavelengths, light.powers, observer)


def _text(row: Value, indent: str = "") -> str:
    lines = []
    for name, item in _rounded(row).items():
        label = name.replace("_", " ")
        if isinstance(item, dict):
            lines.append(f"{indent}{label}:\n{_text(item, indent + '  ')}")
        elif isinstance(item, list) and item and isinstance(item[0], dict):
            lines += [f"{indent}{label}:\n", *(_text(each, indent + "  ") + "\n" for each in item)]
        else:
            words = ", ".join(map(str, item)) if isinstance(item, list) else str(item)
            lines.append(f"{indent}{label}: {words or 'none'}\n")
    return "".join(lines)


def _rounded(item: Any) -> Any:
    if isinstance(item, dict):
        return {name: _rounded(each) for name, each in item.items()}
    if isinstance(item, list):
        return [_rounded(each) for each in item]
    return round(item, 4) + 0.0 if isinstance(item, float) else item
