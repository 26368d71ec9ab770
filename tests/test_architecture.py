"""The house: floors, who may print, sizes, names, and what a cold start loads. Read off the source by `ast`."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "shadefmt"

FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors", "limits", "versions", "vocabulary", "teeth", "colour"),
    ("jsontext", "model", "timestamps", "files", "resources", "catalogue"),
    ("documents", "indexing", "history", "structure"),
    ("chain", "converters"),
    ("deriving", "amending", "rules", "rendering"),
    ("reporting", "checking"),
    ("cli",),
)
"""Packages and modules from the ground up."""

ORDERED_FLOORS = (0, 1, 2, 5)
"""Floors on which a later one may import an earlier one of the same floor. Packages never import each other."""

ISOLATED = {"colour": {"errors"}}
"""Packages that know less than their floor would let them: colour knows nothing of the format."""

LIBRARIES: dict[str, tuple[str, ...]] = {
    "numpy": ("colour",),
    "lxml": ("converters",),
    "jiter": ("jsontext",),
    "rfc8785": ("jsontext",),
    "pydantic": ("model", "structure"),
    "pydantic_core": ("model",),
    "colour": (),
    "scipy": (),
}
"""Where each library may be imported; one that is not named here is not imported at all."""

BANNED_NAMES = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc", "tools"}
NETWORK = {"socket", "ssl", "urllib", "http", "ftplib", "smtplib", "asyncio", "socketserver", "xmlrpc", "telnetlib"}
CHANCE = {"random", "secrets", "uuid"}

MOST_LINES = 300
MOST_LINES_OF_FUNCTION = 40
HEAVY = ("numpy", "scipy", "colour", "lxml", "pandas", "matplotlib")

STREAMS_FOR_DASH = "shadefmt.files"
"""The one module below the command line that touches standard streams: for the file name `-`."""


class Module(NamedTuple):
    """One module of the package and its syntax tree."""

    name: str
    path: Path
    tree: ast.Module

    @property
    def unit(self) -> str:
        """The package or single module of the house that it belongs to; empty for shadefmt/__init__.py."""
        parts = self.name.split(".")
        return parts[1] if len(parts) > 1 else ""


@cache
def modules() -> tuple[Module, ...]:
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found.append(Module(name, path, ast.parse(path.read_text(encoding="utf-8"), str(path))))
    return tuple(found)


def imports(module: Module) -> Iterator[tuple[int, str]]:
    """Yield line and full name of everything that a module imports, in functions too."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, each.name) for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module.name}:{node.lineno}: write imports in full"
            for each in node.names:
                full = f"{node.module}.{each.name}"
                yield node.lineno, full if is_module(full) else str(node.module)


def is_module(name: str) -> bool:
    return any(each.name == name for each in modules())


def own_imports(module: Module) -> Iterator[tuple[int, str]]:
    return ((line, name) for line, name in imports(module) if name.split(".")[0] == "shadefmt")


def floor_of(unit: str) -> int:
    return next(number for number, units in enumerate(FLOORS) if unit in units)


def may_import(importer: str, imported: str) -> bool:
    if importer == imported:
        return True
    if importer in ISOLATED:
        return imported in ISOLATED[importer]
    above, below = floor_of(importer), floor_of(imported)
    if above != below:
        return above > below
    units = FLOORS[above]
    both_packages = (PACKAGE / importer).is_dir() and (PACKAGE / imported).is_dir()
    return above in ORDERED_FLOORS and not both_packages and units.index(imported) < units.index(importer)


def test_every_module_has_its_floor() -> None:
    assert {each.unit for each in modules() if each.unit} == {unit for floor in FLOORS for unit in floor}


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_imports_point_down(module: Module) -> None:
    wrong = [
        f"line {line}: {name}"
        for line, name in own_imports(module)
        if module.unit and "." in name and not may_import(module.unit, name.split(".")[1])
    ]
    assert not wrong


def test_the_floors_tell_good_from_bad() -> None:
    assert may_import("cli", "errors")
    assert may_import("checking", "reporting")
    assert may_import("documents", "jsontext")
    assert not may_import("errors", "colour")
    assert not may_import("rules", "rendering")
    assert not may_import("rules", "checking")
    assert not may_import("model", "jsontext")
    assert not may_import("chain", "converters")
    assert not may_import("colour", "vocabulary")


def test_no_import_goes_in_a_circle() -> None:
    above = {each.name: {name for _, name in own_imports(each)} - {each.name} for each in modules()}
    while free := [name for name, needs in above.items() if not needs & above.keys()]:
        for name in free:
            del above[name]
    assert not above


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_libraries_stay_where_they_belong(module: Module) -> None:
    foreign = {name.split(".")[0] for _, name in imports(module)} - set(sys.stdlib_module_names) - {"shadefmt"}
    assert foreign <= LIBRARIES.keys()
    assert [each for each in foreign if module.unit not in LIBRARIES[each]] == []


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_nothing_reaches_the_network_or_draws_by_chance(module: Module) -> None:
    assert {name.split(".")[0] for _, name in imports(module)}.isdisjoint(NETWORK | CHANCE)


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_no_clock_is_read(module: Module) -> None:
    clocks = {"now", "utcnow", "today", "time", "time_ns", "perf_counter", "monotonic", "localtime", "gmtime"}
    called = [
        f"line {node.lineno}: {ast.unparse(node.func)}"
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in clocks
    ]
    assert not called


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_only_the_command_line_prints_and_exits(module: Module) -> None:
    found = list(outlets(module.tree))
    if module.name == STREAMS_FOR_DASH:
        assert {what for _, what in found} == {"sys.stdin", "sys.stdout"}
    elif module.unit != "cli":
        assert not found


def outlets(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and name of everything that prints, exits or touches a standard stream."""
    names = {"print", "exit", "quit", "input", "SystemExit", "breakpoint"}
    members = {"sys": {"stdout", "stderr", "stdin", "exit", "__stdout__", "__stderr__"}, "os": {"_exit", "abort"}}
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and node.id in names:
            yield node.lineno, node.id
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.attr in members.get(node.value.id, ()):
                yield node.lineno, f"{node.value.id}.{node.attr}"
        elif isinstance(node, ast.ImportFrom) and {each.name for each in node.names} & members.get(
            str(node.module), set()
        ):
            yield node.lineno, str(node.module)
        elif isinstance(node, ast.Import) and any(each.name in ("logging", "warnings") for each in node.names):
            yield node.lineno, node.names[0].name


@pytest.mark.parametrize(
    "source",
    ["print(1)", "import sys\nsys.exit()", "raise SystemExit", "from sys import stdout", "import logging", "quit()"],
)
def test_outlets_are_seen(source: str) -> None:
    assert list(outlets(ast.parse(source)))


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_modules_and_functions_are_small(module: Module) -> None:
    assert len(module.path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
    long = {
        node.name: lines
        for node in ast.walk(module.tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (lines := lines_without_docstring(node)) > MOST_LINES_OF_FUNCTION
    }
    assert not long


def lines_without_docstring(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node) is not None:
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


def test_a_docstring_does_not_count_and_the_rest_does() -> None:
    node = ast.parse('def f():\n    """One.\n\n    Two.\n    """\n    a = 1\n    return a\n').body[0]
    assert isinstance(node, ast.FunctionDef)
    assert lines_without_docstring(node) == 3


def test_names_say_what_a_module_is_for() -> None:
    assert not [each.name for each in modules() if BANNED_NAMES & set(each.name.split("."))]


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_every_module_and_public_name_says_what_it_is(module: Module) -> None:
    if module.path.name != "__init__.py" or module.tree.body:
        assert ast.get_docstring(module.tree)
    public = [
        node
        for node in module.tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
    ]
    assert [each.name for each in public if not ast.get_docstring(each)] == []


@pytest.mark.parametrize("module", modules(), ids=lambda each: each.name)
def test_nothing_global_changes(module: Module) -> None:
    assert not [node.lineno for node in ast.walk(module.tree) if isinstance(node, ast.Global)]
    made = (ast.List, ast.Dict, ast.Set, ast.ListComp, ast.DictComp, ast.SetComp)
    loose = [
        ast.unparse(node).split("\n")[0][:60]
        for node in module.tree.body
        if isinstance(node, ast.Assign)
        and isinstance(node.value, made)
        and not all(isinstance(each, ast.Name) and (each.id.isupper() or each.id == "__all__") for each in node.targets)
    ]
    assert not loose, "declare it Final"


COLD_STARTS = {
    "import": "import shadefmt",
    "help": "from shadefmt.cli.main import main\ntry: main(['--help'])\nexcept SystemExit: pass",
    "check help": "from shadefmt.cli.main import main\ntry: main(['check', '--help'])\nexcept SystemExit: pass",
    "check": "from shadefmt.cli.main import main\nmain(['check', 'conformance/bases/crown-by-two-parties.shade.json'])",
    "check damaged": "from shadefmt.checking import check\ncheck(b'{')",
}


@pytest.mark.parametrize("start", COLD_STARTS)
def test_a_cold_start_loads_nothing_heavy(start: str) -> None:
    program = f"{COLD_STARTS[start]}\nimport sys\nsys.stderr.write(' '.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=60, check=True
    )
    loaded = {each.split(".")[0] for each in done.stderr.split()}
    assert "shadefmt" in loaded
    assert loaded.isdisjoint(HEAVY)


def test_a_plain_import_loads_no_library_at_all() -> None:
    program = "import sys\nbefore = set(sys.modules)\nimport shadefmt\nprint(*(set(sys.modules) - before))"
    done = subprocess.run(
        [sys.executable, "-S", "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=60, check=True
    )
    assert {each.split(".")[0] for each in done.stdout.split()} <= set(sys.stdlib_module_names) | {"shadefmt"}
