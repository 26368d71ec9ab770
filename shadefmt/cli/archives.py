"""What `shadefmt compare` answers over archives: instruments apart, repeatability, slips, coverage of a set."""

import argparse
from collections.abc import Iterator
from typing import Any, TypeVar

from shadefmt.cli.progress import counted
from shadefmt.cli.sources import all_sources
from shadefmt.cli.speaking import say
from shadefmt.colour.formula import Formula
from shadefmt.comparing import Covering, InstrumentPairs, Repeats
from shadefmt.documents import as_model, loads
from shadefmt.errors import WrongUse
from shadefmt.files import read_bytes
from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.model.reference_set import ReferenceSet
from shadefmt.structure import structured

Value = dict[str, Any]
Collector = TypeVar("Collector", InstrumentPairs, Covering, Repeats)


def over_archives(given: argparse.Namespace, by: Formula) -> Iterator[Value]:
    """Yield what the one question asked of archives finds; cases with faults are left out, and said to be."""
    basis = (given.illuminant, given.observer)
    if given.pairs:
        yield from _filled(InstrumentPairs(*basis), given.what).offsets()
    elif given.coverage:
        yield _filled(Covering(_reference_set(given.coverage), *basis, by), given.what).found()
    else:
        repeats = _filled(Repeats(*basis, by), given.what)
        yield from repeats.slips() if given.slips else repeats.repeatability()


def _filled(into: Collector, paths: list[str]) -> Collector:
    for view in _views(paths):
        into.add(view)
    return into


def _views(paths: list[str]) -> Iterator[CaseView]:
    for source in counted(all_sources(paths), "cases"):
        value = loads(source.data)
        made = structured(value, "case") if value.get("kind") == "case" else None
        if made is None or not isinstance(made.root, Case):
            say(f"shadefmt: {source.name}: no sound case, left out")
            continue
        yield CaseView(made.root)


def _reference_set(path: str) -> ReferenceSet:
    made = as_model(loads(read_bytes(path)))
    if not isinstance(made, ReferenceSet):
        raise WrongUse(f"{path} is no reference set")
    return made
