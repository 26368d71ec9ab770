"""`shadefmt roundtrip`: cases through a foreign format and back, and what came back otherwise."""

import argparse
import json
import sys
from itertools import chain
from typing import Any, Final

from shadefmt.cli.cases import sound_cases
from shadefmt.cli.losses import allows
from shadefmt.cli.progress import counted
from shadefmt.comparing.round_trip import RoundTrip, round_trip
from shadefmt.documents import load
from shadefmt.files import STANDARD, write_whole
from shadefmt.jsontext import line_form
from shadefmt.rendering.visible import visible

TITLES: Final = {
    "unsaid": "LOST WITHOUT A WORD: the loss reports do not list it",
    "said": "Lost, as the loss reports say",
    "aside": "Came back in an extension, not as a member",
    "renewed": "Ids of its own in the document that came back",
    "added": "Added by the reader",
}
SHOWN: Final = 60
"""Characters of a value that are shown."""


def run(given: argparse.Namespace) -> int:
    """Take every case through; 1 where something was lost that was not allowed, or that no loss report lists."""
    worst = 0
    mapping = load(given.mapping) if given.mapping else None
    cases = chain.from_iterable(sound_cases(path, lines=given.lines) for path in given.paths)
    for case in counted(cases, "cases", printing=True):
        made = round_trip(case.value, given.via, mapping=mapping, full=given.full)
        if given.format == "json":
            write_whole(STANDARD, line_form(_value(case.name, given.via, made)))
        else:
            sys.stdout.write(_text(case.name, given, made))
        refused = [each for each in made.losses if not allows(given.allow_loss, each["code"])]
        worst = max(worst, int(bool(refused or made.unsaid)))
    return worst


def _value(name: str, via: str, made: RoundTrip) -> dict[str, Any]:
    lost = sum(each["count"] for each in made.differences if each["said"] in ("said", "unsaid"))
    return {
        "name": name,
        "via": via,
        "lost": lost,
        "unsaid": made.unsaid,
        "differences": made.differences,
        "writing": made.writing,
        "reading": made.reading,
    }


def _text(name: str, given: argparse.Namespace, made: RoundTrip) -> str:
    lines = [f"{name}: through {given.via} and back"]
    for said, title in TITLES.items():
        group = [each for each in made.differences if each["said"] == said]
        lines += [f"  {title}:"] if group else []
        for each in group:
            lines.append(f"    {each['path']} ({each['count']}x {each['kind']})")
            lines += [f"      {_instance(one)}" for one in each["instances"]]
    lines += ["  Losses by the loss reports:"] if made.losses else []
    for item in made.losses:
        mark = "accepted" if allows(given.allow_loss, item["code"]) else "lost"
        lines.append(f"    {mark}: {item['path']} ({item['count']}x, {item['code']}): {item['reason']}")
    if not made.losses and not made.unsaid:
        lines.append("  nothing was lost")
    return "".join(f"{visible(line)}\n" for line in lines)


def _instance(one: dict[str, Any]) -> str:
    told = [f"{name} {_short(one[name])}" for name in ("before", "after") if name in one]
    return f"{one['where']}: {', '.join(told)}"


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
