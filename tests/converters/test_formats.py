"""The register of formats: whoever adds an entry is held to what the command line says of it."""

import io
from pathlib import Path

import pytest
from ordinary_mapping import ORDINARY

from shadefmt.cli.main import main
from shadefmt.converters.formats import FORMATS, LOOKED_AT, READ, WRITTEN, Stated, format_of, the_only_case
from shadefmt.documents import dumps, load
from shadefmt.errors import WrongUse

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples"
BENCH = EXAMPLES / "bench-export.cxf"


def test_entries_are_named_by_their_key_and_do_something() -> None:
    assert all(name == each.name and (each.read or each.write) for name, each in FORMATS.items())
    assert set(READ) | set(WRITTEN) == set(FORMATS)


@pytest.mark.parametrize("name", FORMATS)
def test_options_are_members_of_what_is_stated(name: str) -> None:
    assert FORMATS[name].options <= set(vars(Stated()))


@pytest.mark.parametrize("name", WRITTEN)
def test_what_is_written_is_told_by_its_content(name: str, tmp_path: Path) -> None:
    target = tmp_path / "written"
    case = EXAMPLES / "front-crown.shade.json"
    by = tmp_path / "by.shade.json"
    by.write_bytes(dumps(ORDINARY))
    words = ["--to", name, "--allow-loss", "all", "--mapping", str(by)]
    assert main(["convert", str(case), str(target), *words]) == 0
    writer = FORMATS[name].write
    assert writer is not None
    written = writer([load(str(case))], Stated(mapping=ORDINARY))
    assert target.read_bytes() == b"".join(written.data)
    found = format_of(target.read_bytes()[:LOOKED_AT], written.back)
    assert found is not None
    assert found.name == name
    assert found.read is not None
    assert found.strange_options(written.back) == []
    assert list(found.read(io.BytesIO(target.read_bytes()), written.back).cases)


def test_an_option_that_means_nothing_is_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mapping = str(EXAMPLES / "chairside-table.shade.json")
    assert main(["convert", str(BENCH), str(tmp_path / "case.shade.json"), "--mapping", mapping]) == 2
    assert "--mapping" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_one_case_is_one_case() -> None:
    assert the_only_case([{"id": "a"}], "a text") == {"id": "a"}
    for cases in ([], [{}, {}]):
        with pytest.raises(WrongUse, match="holds one case"):
            the_only_case(cases, "a text")


UNEVEN = """ISO28178
BEGIN_DATA_FORMAT
SAMPLE_ID\tLAB_L\tLAB_A\tLAB_B
END_DATA_FORMAT
BEGIN_DATA
1\t70.123456789012\t1.5\t15.25
2\t71.123456789012\t1.5\t15.25
3\t72.123456789012\t1.5\t15.25
4\t73.123456789012\t1.5\t15.25
END_DATA

BEGIN_DATA_FORMAT
SAMPLE_ID\tREMARK
END_DATA_FORMAT
BEGIN_DATA
1\tone
2\ttwo
3\tthree
4\tfour
END_DATA
"""
"""Numbers with more decimals than a case can state, and a table that holds none."""


@pytest.mark.parametrize("full", [False, True])
def test_every_loss_is_listed_in_full(full: bool) -> None:
    read = FORMATS["cgats"].read
    assert read is not None
    made = read(io.BytesIO(UNEVEN.encode()), Stated(full=full))
    assert list(made.cases)
    losses = {(each["path"], each["code"]): each for each in made.loss()["items"] if "code" in each}
    rounded = losses["fields/LAB_L", "decimals-cut"]
    assert rounded["instances"][0] == {"where": "line 6", "before": "70.123456789012", "after": "70.123456789"}
    assert losses["fields/REMARK", "table-without-colour"]["count"] == 4
    for each in losses.values():
        assert (each["count"] == len(each["instances"])) is (full or each["count"] <= len(each["instances"])), each
    assert all(each["count"] == len(each["instances"]) for each in losses.values()) is full


@pytest.mark.parametrize("name", WRITTEN)
@pytest.mark.parametrize("case", sorted(EXAMPLES.glob("*-c*.shade.json")), ids=lambda path: path.stem)
def test_writers_list_every_loss_in_full(name: str, case: Path) -> None:
    write = FORMATS[name].write
    assert write is not None
    written = write([load(str(case))], Stated(full=True, mapping=ORDINARY))
    assert b"".join(written.data)
    losses = [each for each in written.loss()["items"] if "code" in each]
    assert losses
    assert all(each["count"] == len(each["instances"]) for each in losses)
