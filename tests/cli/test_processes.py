"""The command as a process of its own: pipes that close, disks that are full, names and encodings that are odd."""

import json
import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from bases import PATHS, ROOT, written

from shadefmt.model.report import Report

CROWN = str(PATHS["front-crown"])
COMMAND = [sys.executable, "-m", "shadefmt"]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def run(*arguments: str | bytes, cwd: Path = ROOT, **options: object) -> subprocess.CompletedProcess[bytes]:
    """Run one command to its end; 60 seconds are more than any needs."""
    given = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "env": ENVIRONMENT, **options}
    return subprocess.run([*COMMAND, *arguments], cwd=cwd, timeout=60, check=False, **given)  # type: ignore[call-overload,no-any-return]


def require_one_line(done: subprocess.CompletedProcess[bytes]) -> None:
    """The message is one line and no traceback."""
    assert b"Traceback" not in done.stderr
    assert done.stderr.startswith(b"shadefmt: ")


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("check", CROWN), 0),
        (("--version",), 0),
        (("check", "missing.shade.json"), 3),
        (("check", "--nonsense"), 2),
        (("no-such-verb",), 2),
        ((), 2),
    ],
)
def test_exit_codes_are_those_of_the_process(arguments: tuple[str, ...], code: int) -> None:
    assert run(*arguments).returncode == code


@pytest.mark.parametrize("arguments", [("check", CROWN), ("explain", "--all"), ("schema", "case"), ("derive", CROWN)])
def test_a_reader_that_goes_away_at_once_is_no_fault(arguments: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as pipe:
        done = run(*arguments, stdout=pipe)
    assert done.stderr == b"" or b"added to" in done.stderr or b"left out" in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no device that is always full")
@pytest.mark.parametrize("arguments", [("check", CROWN), ("derive", CROWN), ("schema", "case")])
def test_a_full_disk_behind_standard_output_is_said(arguments: tuple[str, ...]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = run(*arguments, stdout=full)
    require_one_line(done)
    assert done.returncode in (2, 3)


@pytest.mark.parametrize(
    ("closed", "arguments"), [("stdout", f"check {CROWN}"), ("stdout", f"derive {CROWN}"), ("stdin", "check -")]
)
def test_closed_standard_streams_are_said(closed: str, arguments: str) -> None:
    redirection = ">&-" if closed == "stdout" else "<&-"
    line = f"{sys.executable} -m shadefmt {arguments} {redirection}"
    done = subprocess.run(["sh", "-c", line], cwd=ROOT, env=ENVIRONMENT, capture_output=True, timeout=60, check=False)
    require_one_line(done)
    assert done.returncode in (2, 3)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
@pytest.mark.parametrize(
    "arguments", [("check", CROWN), ("check", CROWN, "--format", "json"), ("show", CROWN), ("explain", "--all")]
)
def test_any_encoding_of_the_terminal_will_do(encoding: str, arguments: tuple[str, ...]) -> None:
    done = run(*arguments, env={**ENVIRONMENT, "PYTHONIOENCODING": encoding, "LC_ALL": "C"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout


@pytest.mark.parametrize(
    "arguments",
    [
        ("derive", "{}"),
        ("check", "{}", "--format", "json"),
    ],
)
def test_json_is_utf_8_whatever_the_terminal_says(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    case = json.loads(PATHS["smallest"].read_bytes())
    case["readings"][0]["note"] = "größer → 歯"
    path = tmp_path / "näme.shade.json"
    path.write_bytes(written(case))
    words = [word.replace("{}", str(path)) for word in arguments]
    done = run(*words, env={**ENVIRONMENT, "PYTHONIOENCODING": "cp1252"})
    json.loads(done.stdout.decode("utf-8"))


@pytest.fixture
def oddly_named(tmp_path: Path) -> bytes:
    """A sound case under a name that is no UTF-8."""
    path = os.fsencode(tmp_path) + b"/caf\xe9.shade.json"
    try:
        with open(path, "wb") as file:  # noqa: PTH123 - a name in bytes
            file.write(PATHS["smallest"].read_bytes())
    except OSError:
        pytest.skip("the file system allows names in UTF-8 only")
    return path


def test_a_file_name_that_is_no_text_is_read(oddly_named: bytes) -> None:
    done = run("check", oddly_named)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_report_on_a_file_name_that_is_no_text_is_written(oddly_named: bytes) -> None:
    done = run("check", oddly_named, "--format", "json")
    assert done.returncode == 0
    Report.model_validate(json.loads(done.stdout))


def test_a_file_name_cannot_write_to_the_terminal() -> None:
    done = run("check", "a\x1b[2Jb\nc.shade.json")
    assert done.returncode == 3
    assert b"\x1b" not in done.stderr
    assert done.stderr.count(b"\n") == 1


def test_the_demo_runs_from_any_folder_on_less_than_five_seconds_of_one_processor(tmp_path: Path) -> None:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = run("demo", "out", cwd=tmp_path)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert (done.returncode, done.stderr) == (0, b"")
    assert after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime < 5
    assert run("check", "out/case.shade.json", cwd=tmp_path).returncode == 0
    damaged = run("check", "out/damaged.shade.json", "--format", "json", cwd=tmp_path)
    assert damaged.returncode == 1
    assert json.loads(damaged.stdout)["totals"]["errors"] > 0
    assert (tmp_path / "out" / "case.html").stat().st_size > 1000


def test_the_demo_gives_the_same_bytes_each_time(tmp_path: Path) -> None:
    for name in ("one", "other"):
        assert run("demo", name, cwd=tmp_path).returncode == 0
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "other" / path.name).read_bytes(), path.name


def test_stopping_it_leaves_no_traceback(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [*COMMAND, "check", "-"],
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        env=ENVIRONMENT,
        # in the background of a shell signals are ignored, and children inherit that
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509
    )
    time.sleep(1.5)
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=30)
    assert b"Traceback" not in said
    assert process.returncode in (130, -signal.SIGINT)


def test_colour_codes_are_never_written_to_a_file() -> None:
    for more in ({}, {"FORCE_COLOR": "1"}, {"NO_COLOR": "1"}, {"TERM": "dumb"}):
        done = run("check", CROWN, env={**ENVIRONMENT, **more})
        assert b"\x1b" not in done.stdout
