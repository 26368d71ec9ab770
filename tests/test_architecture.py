"""The house: floors, who may print, sizes, names, and what a cold start loads. Read off the source by `ast`."""

import ast
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "shadefmt"

FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors", "limits", "versions", "vocabulary", "teeth", "collecting", "colour"),
    ("jsontext", "model", "timestamps", "files", "resources", "catalogue"),
    ("documents", "bundles", "streams", "referring", "indexing", "structure", "history"),
    ("chain", "converters"),
    ("deriving", "amending", "merging", "migrating", "comparing", "rules", "rendering"),
    ("reporting", "checking", "intake", "damaging"),
    ("cli", "__main__"),
)
"""Packages and modules from the ground up."""

ORDERED_FLOORS = (0, 1, 2, 5, 6)
"""Floors on which a later one may import an earlier one of the same floor. Packages never import each other."""

ISOLATED = {"colour": {"errors"}}
"""Packages that know less than their floor would let them: colour knows nothing of the format."""

LIBRARIES: dict[str, tuple[str, ...]] = {
    "numpy": ("colour",),
    "lxml": ("converters",),
    "jiter": ("jsontext", "converters"),
    "rfc8785": ("jsontext",),
    "pydantic": ("model", "structure", "converters"),
    "pydantic_core": ("model",),
    "zstandard": ("streams",),
    "openpyxl": ("converters",),
    "odf": ("converters",),
    "colour": (),
    "scipy": (),
}
"""Where each library may be imported; one that is not named here is not imported at all."""

BANNED_NAMES = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc", "tools"}
NETWORK = {"socket", "ssl", "urllib", "http", "ftplib", "smtplib", "asyncio", "socketserver", "xmlrpc", "telnetlib"}
CHANCE = {"random", "secrets"}

SEEDED = {"damaging"}
"""Packages that draw, from a `random.Random` that is handed to them or made of a seed."""

NAMED_BY_A_TABLE = {"damaging"}
"""Packages whose public functions are entries of a table that says what they do."""

CLOCKS_AND_DRAWS = {
    *("now", "utcnow", "today", "time", "time_ns", "perf_counter", "monotonic", "localtime", "gmtime"),
    *("uuid1", "uuid4", "uuid6", "uuid7", "urandom"),
}

MOST_LINES = 300
MOST_LINES_OF_FUNCTION = 40
HEAVY = ("numpy", "scipy", "colour", "lxml", "pandas", "matplotlib")

STREAMS_FOR_DASH = {"shadefmt.files", "shadefmt.streams"}
"""The modules below the command line that touch standard streams: for the file name `-`."""


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


def everywhere(look: Callable[[Module], Iterable[object]]) -> list[str]:
    """Return what a look at each module finds, each with the module that holds it."""
    return [f"{module.name}: {found}" for module in modules() for found in look(module)]


def imports(module: Module) -> Iterator[tuple[int, str]]:
    """Yield line and full name of everything that a module imports, in functions too."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, each.name) for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module.name}:{node.lineno}: write imports in full"
            for each in node.names:
                full = f"{node.module}.{each.name}"
                yield node.lineno, full if full in module_names() else str(node.module)


@cache
def module_names() -> frozenset[str]:
    return frozenset(each.name for each in modules())


def own_imports(module: Module) -> Iterator[tuple[int, str]]:
    return ((line, name) for line, name in imports(module) if name.split(".")[0] == "shadefmt")


def floor_of(unit: str) -> int:
    return next((number for number, units in enumerate(FLOORS) if unit in units), len(FLOORS))


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
    assert {each.unit for each in modules() if each.unit} <= {unit for floor in FLOORS for unit in floor}


def test_imports_point_down() -> None:
    assert not everywhere(imports_up)


def imports_up(module: Module) -> Iterator[str]:
    for line, name in own_imports(module):
        if module.unit and "." in name and not may_import(module.unit, name.split(".")[1]):
            yield f"line {line}: {name}"


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


def test_libraries_stay_where_they_belong() -> None:
    assert not everywhere(strayed)


def strayed(module: Module) -> Iterator[str]:
    """Yield the libraries that a module imports and should not."""
    foreign = {name.split(".")[0] for _, name in imports(module)} - set(sys.stdlib_module_names) - {"shadefmt"}
    return (each for each in foreign if module.unit not in LIBRARIES.get(each, ()))


def test_nothing_reaches_the_network_or_draws_by_chance() -> None:
    assert not everywhere(network_or_chance)


def network_or_chance(module: Module) -> set[str]:
    banned = NETWORK | (CHANCE - {"random"} if module.unit in SEEDED else CHANCE)
    drawn = {f"random.{each}" for each in members_of("random", module.tree) - {"Random"}}
    return {name.split(".")[0] for _, name in imports(module)} & banned | drawn


def members_of(name: str, tree: ast.AST) -> set[str]:
    """Return what is used of a module that was imported under its own name."""
    found = (each for each in ast.walk(tree) if isinstance(each, ast.Attribute))
    return {each.attr for each in found if isinstance(each.value, ast.Name) and each.value.id == name}


def test_no_clock_is_read_and_no_id_drawn() -> None:
    assert not everywhere(clocks_and_draws)


def clocks_and_draws(module: Module) -> Iterator[str]:
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CLOCKS_AND_DRAWS:
            yield f"line {node.lineno}: {ast.unparse(node.func)}"


def test_only_the_command_line_prints_and_exits() -> None:
    found = [each for each in modules() if each.unit != "cli" and list(outlets(each.tree))]
    assert {each.name for each in found} == STREAMS_FOR_DASH
    assert {what for each in found for _, what in outlets(each.tree)} == {"sys.stdin", "sys.stdout"}


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


def test_modules_and_functions_are_small() -> None:
    assert not everywhere(large_things)


def large_things(module: Module) -> Iterator[str]:
    lines = len(module.path.read_text(encoding="utf-8").splitlines())
    if lines > MOST_LINES:
        yield f"{lines} lines"
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = lines_without_docstring(node)
            if lines > MOST_LINES_OF_FUNCTION:
                yield f"{node.name} has {lines} lines"


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


def test_every_module_and_public_name_says_what_it_is() -> None:
    assert not everywhere(undescribed)


def undescribed(module: Module) -> Iterator[str]:
    if module.tree.body and not ast.get_docstring(module.tree):
        yield "the module"
    for node in module.tree.body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        if not ast.get_docstring(node) and module.unit not in NAMED_BY_A_TABLE:
            yield node.name


def test_nothing_global_changes() -> None:
    assert not everywhere(loose_globals)


def loose_globals(module: Module) -> Iterator[str]:
    """Yield `global` statements, and lists, dicts and sets of a module that are neither Final nor in capitals."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Global):
            yield f"line {node.lineno}: global"
    made = (ast.List, ast.Dict, ast.Set, ast.ListComp, ast.DictComp, ast.SetComp)
    for statement in module.tree.body:
        if isinstance(statement, ast.Assign) and isinstance(statement.value, made):
            names = [each.id for each in statement.targets if isinstance(each, ast.Name)]
            if not all(each.isupper() or each == "__all__" for each in names):
                yield f"line {statement.lineno}: {', '.join(names)} is not declared Final"


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
