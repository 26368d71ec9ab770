"""A release rehearsed: a copy of the project gets a version 1.1 that is thrown away, with one member and one rule.

The member is relative humidity on a reading; the rule says that it is at most 100 %. The edits below are those that
DEVELOPERS.md asks for. What the two versions of the program say of each other's documents is compared with section 10
of the specification; the schemas are asked through jsonschema-rs.
"""

import copy
import hashlib
import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

import jsonschema_rs
import pytest
import rfc8785
from bases import base

from shadefmt.amending import add_revision
from shadefmt.checking import check
from shadefmt.documents import dumps, loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext import file_form
from shadefmt.migrating import migrate

Value = dict[str, Any]
ROOT = Path(__file__).resolve().parent.parent
MEMBER, CODE = "humidity_percent", "humidity-above-hundred"

EDITS = {
    "shadefmt/versions.py": [('FORMAT_VERSIONS = ("1.0",)', 'FORMAT_VERSIONS = ("1.0", "1.1")')],
    "shadefmt/model/base.py": [('FormatVersion = Literal["1.0"]', 'FormatVersion = Literal["1.0", "1.1"]')],
    "shadefmt/model/measuring.py": [
        (
            "    spectrum: Absent[Spectrum] = None\n",
            f'    {MEMBER}: Absent[Annotated[NotNegative, Since("1.1")]] = None\n'
            '    """Relative humidity of the room."""\n'
            "    spectrum: Absent[Spectrum] = None\n",
        ),
        ("from shadefmt.vocabulary import", "from shadefmt.model.since import Since\nfrom shadefmt.vocabulary import"),
    ],
    "shadefmt/rules/conditions.py": [
        (
            "RULES: ",
            "def humidity_above_hundred(matter: Matter) -> Iterator[Hit]:\n"
            "    for index, reading in enumerate(matter.view.case.readings or ()):\n"
            f"        if (reading.{MEMBER} or 0) > 100:\n"
            f'            yield Hit(f"/readings/{{index}}/{MEMBER}", {{}}, reading.id)\n\n\nRULES: ',
        ),
        ("dict[str, Rule]] = {", f'dict[str, Rule]] = {{\n    "{CODE}": humidity_above_hundred,'),
    ],
}
"""What a version with one member and one rule changes: file, what stands there, what takes its place."""

RULE = {
    "code": CODE,
    "stage": "rules",
    "severity": "error",
    "section": "9.4",
    "kinds": ["case"],
    "since": "1.1",
    "needs": ["readings"],
    "title": "More water than air can hold",
    "message": "The humidity is above 100 %.",
    "remedy": "Ask whoever wrote it.",
    "source": "logic",
}


class Next(NamedTuple):
    """The copy that knows 1.1."""

    folder: Path

    def run(self, *arguments: str | Path, exit_code: int = 0) -> str:
        command = [sys.executable, "-m", *map(str, arguments)]
        environment = {"PYTHONPATH": str(self.folder)}
        done = subprocess.run(
            command, cwd=self.folder, env=environment, capture_output=True, text=True, timeout=120, check=False
        )
        assert done.returncode == exit_code, (arguments, done.stdout[-2000:], done.stderr[-2000:])
        return done.stdout

    def codes(self, document: Value, exit_code: int) -> list[str]:
        path = self.folder / "document.shade.json"
        path.write_bytes(file_form(document))
        report = json.loads(self.run("shadefmt", "check", path, "--format", "json", exit_code=exit_code))
        return [each["code"] for each in report.get("findings", [])]

    def migrated(self, document: Value, version: str, exit_code: int = 0) -> tuple[Value, Value]:
        source, target, loss = (self.folder / f"{name}.shade.json" for name in ("source", "target", "loss"))
        source.write_bytes(file_form(document))
        options = ("--to-version", version, "--loss-report", loss, "--force")
        self.run("shadefmt", "convert", source, target, *options, exit_code=exit_code)
        return json.loads(target.read_bytes()), json.loads(loss.read_bytes())


@pytest.fixture(scope="module")
def following(tmp_path_factory: pytest.TempPathFactory) -> Next:
    """The steps of DEVELOPERS.md, in a copy: freeze, copy the folder, edit, generate."""
    folder = tmp_path_factory.mktemp("following")
    for name in ("shadefmt", "schema", "scripts"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    made = Next(folder)
    made.run("scripts.freeze_version", "1.0")
    shutil.copytree(folder / "schema" / "1.0", folder / "schema" / "1.1", ignore=shutil.ignore_patterns("RELEASED*"))
    for file, edits in EDITS.items():
        text = (folder / file).read_text(encoding="utf-8")
        for old, new in edits:
            assert text.count(old) == 1, (file, old)
            text = text.replace(old, new)
        (folder / file).write_text(text, encoding="utf-8")
    catalogue = json.loads((folder / "schema" / "rules.json").read_bytes())
    catalogue["rules"].append(RULE)
    (folder / "schema" / "rules.json").write_text(json.dumps(catalogue), encoding="utf-8")
    made.run("scripts.generate_schemas")
    return made


def older() -> Value:
    return copy.deepcopy(base("crown-by-two-parties"))


def newer(reading: int = 12, humidity: float = 40) -> Value:
    """The case with the new member on one reading; the readings from 12 on belong to the later revision."""
    case = older() | {"version": "1.1"}
    case["readings"][reading][MEMBER] = humidity
    return case


def test_schemas_of_the_older_version_keep_their_bytes(following: Next) -> None:
    for path in sorted((ROOT / "schema" / "1.0").glob("*.schema.json")):
        assert (following.folder / "schema" / "1.0" / path.name).read_bytes() == path.read_bytes()
    assert "1.0: frozen, and as it was" in following.run("scripts.freeze_version", "--check")


def test_schemas_of_the_newer_version_have_the_member_and_nothing_else(following: Next) -> None:
    for path in sorted((ROOT / "schema" / "1.0").glob("*.schema.json")):
        before = path.read_text(encoding="utf-8")
        after = (following.folder / "schema" / "1.1" / path.name).read_text(encoding="utf-8")
        added = set(after.splitlines()) - set(before.replace("1.0", "1.1").splitlines())
        assert {line.strip() for line in added} == (
            {f'"{MEMBER}": {{', '"description": "Relative humidity of the room.",'}
            if path.name[:4] == "case"
            else set()
        )
    schema = json.loads((following.folder / "schema" / "1.1" / "case.schema.json").read_bytes())
    assert jsonschema_rs.is_valid(schema, newer())
    assert not jsonschema_rs.is_valid(schema, older())
    assert not jsonschema_rs.is_valid(json.loads((ROOT / "schema/1.0/case.schema.json").read_bytes()), newer())


def test_a_document_of_the_older_version_has_neither_the_member_nor_the_rule(following: Next) -> None:
    assert following.codes(older(), 0) == []
    assert following.codes(newer() | {"version": "1.0"}, 1) == ["structure-member-unknown"]
    assert following.codes(newer(humidity=140) | {"version": "1.0"}, 1) == ["structure-member-unknown"]
    assert following.codes(newer(), 0) == []
    assert following.codes(newer(humidity=140), 1) == [CODE]


def test_the_newer_program_works_on_documents_of_the_older_version(following: Next) -> None:
    path = following.folder / "older.shade.json"
    path.write_bytes(file_form(older()))
    derived = json.loads(following.run("shadefmt", "derive", path))
    assert derived["version"] == "1.0"
    assert "FILE SOUND" in following.run("shadefmt", "show", path)


@pytest.mark.parametrize(("more", "version"), [({}, "1.0"), ({MEMBER: 40}, "1.1")])
def test_an_addition_raises_the_version_only_where_it_needs_to(following: Next, more: Value, version: str) -> None:
    path, additions = following.folder / "older.shade.json", following.folder / "additions.json"
    path.write_bytes(file_form(older()))
    reading = older()["readings"][12] | {"id": "once-more", **more}
    reading["colours"][0]["lab"]["L"] += 0.1
    reading.pop("revision_id")
    additions.write_text(json.dumps({"readings": [reading]}), encoding="utf-8")
    revision = ("--revision", "bench-2", "--at", "2026-02-02T09:00:00+01:00", "--party", "lab-rushes")
    amended = json.loads(following.run("shadefmt", "amend", path, additions, *revision))
    assert amended["version"] == version
    assert not [code for code in following.codes(amended, 0) if "digest" in code or "structure" in code]


def test_two_versions_of_a_case_merge_into_the_newer_version_of_the_format(following: Next) -> None:
    reading = older()["readings"][12] | {"id": "once-more"}
    other = add_revision(older(), {"id": "bench-2", "at": "2026-02-02T09:00:00+01:00"}, {"readings": [reading]})
    other["version"] = "1.1"
    other["readings"][-1][MEMBER] = 40
    for name, case in (("one", older()), ("other", other)):
        (following.folder / f"{name}.shade.json").write_bytes(file_form(case))
    files = [following.folder / f"{name}.shade.json" for name in ("one", "other")]
    merged = [json.loads(following.run("shadefmt", "merge", *order)) for order in (files, files[::-1])]
    assert merged == [other, other]


def test_a_newer_document_is_partly_checked_and_kept_by_the_older_program() -> None:
    data = file_form(newer())
    report = check(data)
    assert [each.code for each in report.findings or ()] == ["version-newer", "structure-member-unknown-newer"]
    assert {each.severity for each in report.findings or ()} == {"warning"}
    assert (report.outcome, report.partly_checked) == ("incomplete", True)
    assert loads(dumps(loads(data))) == newer()


def test_up_only_the_version_changes(following: Next) -> None:
    made, loss = following.migrated(older(), "1.1")
    assert made == older() | {"version": "1.1"}
    assert loss["lossless"]
    assert following.codes(made, 0) == []


def test_down_the_member_is_dropped_and_told(following: Next) -> None:
    made, loss = following.migrated(newer(), "1.0", exit_code=1)
    assert made == older()
    assert not loss["lossless"]
    (dropped,) = (each for each in loss["items"] if "code" in each)
    assert (dropped["path"], dropped["fate"]) == (f"/readings/*/{MEMBER}", "dropped")
    assert dropped["instances"] == [{"where": f"/readings/12/{MEMBER}", "before": "40"}]
    assert check(file_form(made)).outcome == check(file_form(loss)).outcome == "valid"


def test_down_digests_of_what_lost_a_member_are_taken_anew_and_told(following: Next) -> None:
    """A case whose first revision has the member, its digest by the rfc8785 library over section 7.3."""
    case = newer(reading=0)
    kept = {"chair-1"}
    was = {"version": "1.1"}
    for name, item in case.items():
        if isinstance(item, list):
            own = "id" if name == "revisions" else "revision_id"
            was |= {name: left} if (left := [each for each in item if each.get(own, "chair-1") in kept]) else {}
        else:
            was.setdefault(name, item)
    case["revisions"][1]["parents"][0]["sha256"] = hashlib.sha256(rfc8785.dumps(was)).hexdigest()
    assert following.codes(case, 0) == []
    made, loss = following.migrated(case, "1.0", exit_code=1)
    assert made == older()
    assert {each["code"]: each["fate"] for each in loss["items"] if "code" in each} == {
        "version-member": "dropped",
        "version-digest": "defaulted",
    }


def test_the_older_program_takes_what_it_does_not_know_out_as_well() -> None:
    made = migrate(file_form(newer()), "1.0")
    assert made.document == older()
    assert not made.loss["lossless"]


def test_what_is_unsound_or_unknown_is_not_migrated() -> None:
    with pytest.raises(Refused, match="structure-member-unknown"):
        migrate(file_form(newer() | {"version": "1.0"}), "1.0")
    with pytest.raises(Refused, match="major"):
        migrate(file_form(older() | {"version": "2.0"}), "1.0")
    with pytest.raises(WrongUse, match="known are"):
        migrate(file_form(older()), "1.1")


def test_a_frozen_version_that_moved_is_noticed(following: Next) -> None:
    folder = following.folder / "schema" / "1.0"
    assert "frozen already" in following.run("scripts.freeze_version", "1.0", exit_code=2)
    (folder / "tables" / "extra.csv").write_text("1", encoding="utf-8")
    with (folder / "README.md").open("a", encoding="utf-8") as stream:
        stream.write("One more sentence.\n")
    assert "1.0: changed: README.md, tables/extra.csv" in following.run(
        "scripts.freeze_version", "--check", exit_code=1
    )


def test_versions_that_are_released_are_as_they_were() -> None:
    """Holds nothing while no version is released; the test above shows that it would."""
    command = [sys.executable, "-m", "scripts.freeze_version", "--check"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
