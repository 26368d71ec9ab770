"""The wheel holds all that the program needs, and the program runs from it in an environment of its own.

Built and installed without the network: `hatchling` and `pip` are those of the environment that runs the tests; the
new environment finds the libraries there, and shadefmt only in the wheel.
"""

import json
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
JUNK = (
    "node_modules",
    "adapters/types/build/",
    "__pycache__",
    ".pyc",
    ".hypothesis",
    ".pytest_cache",
    ".mypy_cache",
    ".ruff_cache",
    ".git/",
    "demo-out",
)


def call(*command: str | Path, cwd: Path) -> str:
    """Run a command to its end and return what it printed; what it said on failure is in the message."""
    done = subprocess.run(
        [str(each) for each in command], cwd=cwd, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, f"{command}\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    offline = ("--no-deps", "--no-build-isolation", "--no-index", "--quiet", "--disable-pip-version-check")
    call(sys.executable, "-m", "pip", "wheel", *offline, "--wheel-dir", folder, ROOT, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed `shadefmt` of a fresh environment."""
    folder = tmp_path_factory.mktemp("environment")
    call(sys.executable, "-m", "venv", "--without-pip", folder, cwd=folder)
    scripts = folder / ("Scripts" if sys.platform == "win32" else "bin")
    pip = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", scripts / "python")
    call(*pip, "install", "--quiet", "--no-deps", "--no-index", wheel, cwd=folder)
    (site,) = (path.parent for path in folder.rglob("shadefmt") if (path / "py.typed").is_file())
    libraries = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site / "libraries.pth").write_text("\n".join(libraries) + "\n", encoding="utf-8")
    return scripts / "shadefmt"


def files_below(*folders: str) -> set[str]:
    found = (path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file())
    return {path.relative_to(ROOT).as_posix() for path in found if not any(each in path.as_posix() for each in JUNK)}


def test_the_wheel_holds_every_file_of_the_package_and_of_the_schema(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    wanted = files_below("shadefmt") | {f"shadefmt/{name}" for name in files_below("schema")}
    assert wanted <= inside
    extra = {name for name in inside - wanted if ".dist-info/" not in name}
    assert not extra


@pytest.mark.parametrize(
    "name",
    [
        "shadefmt/py.typed",
        "shadefmt/schema/rules.json",
        "shadefmt/schema/1.0/case.schema.json",
        "shadefmt/schema/1.0/README.md",
        "shadefmt/schema/1.0/examples/front-crown.shade.json",
        "shadefmt/schema/1.0/examples/bench-export.cxf",
        "shadefmt/colour/data/observer-2-degree.csv",
        "shadefmt/colour/data/illuminant-D65.csv",
    ],
)
def test_what_cannot_be_missed_is_there(wheel: Path, name: str) -> None:
    with zipfile.ZipFile(wheel) as archive:
        original = ROOT / (name if (ROOT / name).exists() else name.removeprefix("shadefmt/"))
        assert archive.read(name) == original.read_bytes()


def test_the_wheel_states_licence_python_and_command(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (metadata,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        (entries,) = (name for name in archive.namelist() if name.endswith(".dist-info/entry_points.txt"))
        stated = Parser().parsestr(archive.read(metadata).decode("utf-8"))
        assert "shadefmt = shadefmt.cli.main:entry" in archive.read(entries).decode("utf-8")
    assert stated["Requires-Python"] == ">=3.11"
    assert stated["License-Expression"]
    assert len(stated.get_all("License-File") or []) == 3
    assert wheel.name.endswith("-py3-none-any.whl")


def test_the_program_runs_from_any_folder(program: Path, tmp_path: Path) -> None:
    said = call(program, "demo", "out", cwd=tmp_path)
    assert str(ROOT) not in said
    call(program, "check", "out/case.shade.json", "-q", cwd=tmp_path)
    damaged = subprocess.run(
        [program, "check", "out/damaged.shade.json"], cwd=tmp_path, capture_output=True, timeout=60, check=False
    )
    assert damaged.returncode == 1


def test_what_runs_is_what_was_installed(program: Path, tmp_path: Path) -> None:
    python = program.with_name("python")
    source = "import shadefmt, shadefmt.resources as r; print(shadefmt.__file__); print(r.schema_folder())"
    module, folder = call(python, "-c", source, cwd=tmp_path).split()
    assert Path(module).is_relative_to(program.parent.parent)
    assert Path(folder) == Path(module).parent / "schema"
    version = call(program, "--version", cwd=tmp_path)
    assert "0+unknown" not in version


def test_schemas_and_rules_come_out_of_the_wheel(program: Path, tmp_path: Path) -> None:
    assert json.loads(call(program, "schema", "case", cwd=tmp_path))["title"] == "Case"
    assert len(call(program, "explain", cwd=tmp_path).splitlines()) > 100


def test_the_source_archive_holds_what_tests_and_rebuilding_need(tmp_path: Path) -> None:
    call(sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", tmp_path, cwd=ROOT)
    (built,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(built) as archive:
        inside = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    assert files_below("shadefmt", "schema", "conformance") <= inside
    assert {"pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE", "tests/conftest.py"} <= inside
    assert not [name for name in inside if any(each in name for each in JUNK)]
