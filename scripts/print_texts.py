"""Print every text that a person can meet, for reading; with words, only the places that hold one of them.

    python -m scripts.print_texts                        # all of them
    python -m scripts.print_texts schema/rules.json      # the catalogue: findings, explanations, demands
    python -m scripts.print_texts rendering/page cli/    # the page and the commands

Complete by construction: the catalogue and the published profiles member by member, the help of every command as it
is printed, and every string of the package's source that could be read by a person. `{...}` is filled in.
"""

import argparse
import ast
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, NamedTuple, get_args

from shadefmt import vocabulary
from shadefmt.cli.main import command_parser

ROOT: Final = Path(__file__).resolve().parent.parent
PACKAGE: Final = ROOT / "shadefmt"
SPOKEN: Final = frozenset({"title", "message", "why", "remedy", "guard", "source", "note"})
"""Members of published documents that people read."""

WORDS_OF_THE_FORMAT: Final = frozenset(
    word for name in vars(vocabulary) for word in get_args(getattr(vocabulary, name)) if isinstance(word, str)
)
ALL_STRINGS: Final = ("rendering", "intake")
"""Packages of which single words are read, too."""


class Text(NamedTuple):
    """One text and where it comes from: a file with a code or a line, and what it is."""

    place: str
    what: str
    text: str


def texts() -> list[Text]:
    """Return every text that a person can meet, in the order of the places."""
    return [*published_texts(), *help_texts(), *source_texts()]


def published_texts() -> Iterator[Text]:
    """Yield the spoken members of the catalogue and of the published profiles and waivers."""
    yield from _spoken(json.loads((ROOT / "schema" / "rules.json").read_bytes()), "schema/rules.json")
    for path in sorted((ROOT / "schema" / "1.0" / "examples").glob("*.shade.json")):
        value = json.loads(path.read_bytes())
        if value["kind"] in ("intake-profile", "waiver-list"):
            yield from _spoken(value, path.relative_to(ROOT).as_posix())


def _spoken(value: Any, place: str) -> Iterator[Text]:
    if isinstance(value, dict):
        named = next((value[name] for name in ("code", "demand", "id") if isinstance(value.get(name), str)), None)
        inner = f"{place}:{named}" if named else place
        for name, item in value.items():
            if name in SPOKEN and isinstance(item, str):
                yield Text(inner, name, item)
            else:
                yield from _spoken(item, inner)
    elif isinstance(value, list):
        for item in value:
            yield from _spoken(item, place)


def help_texts() -> Iterator[Text]:
    """Yield the help of the program and of each command as it is printed."""
    parser = command_parser()
    yield Text("shadefmt --help", "help", parser.format_help())
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for verb, each in action.choices.items():
                yield Text(f"shadefmt {verb} --help", "help", each.format_help())


def source_texts() -> Iterator[Text]:
    """Yield the strings of the package that a person could read, with the expressions of f-strings in braces."""
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        single = path.relative_to(PACKAGE).parts[0] in ALL_STRINGS
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for line, text in sorted(_strings(tree)):
            if _readable(text, single):
                yield Text(f"{name}:{line}", "string", text)


def _strings(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and text of strings below a node; documentation and patterns left out."""
    if isinstance(node, ast.JoinedStr):
        parts = [each.value if isinstance(each, ast.Constant) else f"{{{_hole(each)}}}" for each in node.values]
        yield node.lineno, "".join(map(str, parts))
        for each in node.values:
            if isinstance(each, ast.FormattedValue):
                yield from _strings(each.value)
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.lineno, node.value
    for child in ast.iter_child_nodes(node):
        documents = isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)
        if not documents and not _is_pattern(child):
            yield from _strings(child)


def _hole(part: ast.expr) -> str:
    return ast.unparse(part.value) if isinstance(part, ast.FormattedValue) else ast.unparse(part)


def _is_pattern(node: ast.AST) -> bool:
    """Return whether a node is a call into `re`, whose strings nobody reads."""
    called = node.func if isinstance(node, ast.Call) else None
    return isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name) and called.value.id == "re"


def _readable(text: str, single: bool) -> bool:
    """Return whether a person could read a string: letters, and either several words or one that stands for itself."""
    plain = re.sub(r"\{[^{}]*\}", " ", text)
    if text in WORDS_OF_THE_FORMAT or not re.search(r"[A-Za-z]{2}", plain):
        return False
    if re.fullmatch(r"[a-z0-9{}]*([_./-][a-z0-9_{}]*)+", text):
        return False  # the name of a member, a rule, a module or a place
    return bool(re.search(r"\w[\w,.;:)]* +[\w({]", text)) or single


def main() -> int:
    """Print the texts whose place holds one of the words given, all without any."""
    wanted = sys.argv[1:]
    before = ""
    for each in texts():
        file = each.place.partition(":")[0]
        if wanted and not any(word in each.place for word in wanted):
            continue
        if file != before:
            print(f"\n== {file}")
            before = file
        print(f"{each.place.removeprefix(file).lstrip(':')}  {each.what}  {each.text}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
