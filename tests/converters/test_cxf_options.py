"""What the caller of the CxF3 reader states because the file cannot: tags, notation, kinds."""

import re
from pathlib import Path
from typing import Any, get_args

import pytest

from shadefmt.converters.cxf import CxfResult, read_cxf
from shadefmt.converters.cxf.options import TAG_MEMBERS, TEETH
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.case import Case
from shadefmt.vocabulary import SpecimenKind, Zone

EXAMPLE = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples" / "bench-export.cxf"
BENCH = EXAMPLE.read_text(encoding="utf-8")
TAGS = {"specimen": "Specimen", "tooth": "Tooth", "support": "Support", "zone": "Zone", "state": "State"}

HEAD = '<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources><ObjectCollection>'
TAIL = "</ObjectCollection></Resources></CxF>"


def objects(*tags: dict[str, str], colour: str = "<L>70.0</L><A>1.0</A><B>15.0</B>") -> bytes:
    """One object for each set of tags, each with one colour without specification."""
    made = []
    for number, each in enumerate(tags):
        inside = "".join(f'<Tag Name="{name}" Value="{value}"/>' for name, value in each.items())
        made.append(
            f'<Object ObjectType="Trial" Name="" Id="o{number}"><ColorValues><ColorCIELab>{colour}</ColorCIELab>'
            f'</ColorValues><TagCollection Name="what">{inside}</TagCollection></Object>'
        )
    return (HEAD + "".join(made) + TAIL).encode()


def bench(text: str = BENCH, **options: Any) -> CxfResult:
    result = read_cxf(text.encode(), tags=TAGS, notation="iso-3950", **options)
    Case.model_validate(result.case)
    return result


def test_tags_become_members() -> None:
    case = bench().case
    assert case["specimens"] == [{"id": "specimen-1", "kind": "restoration", "tooth": "11", "support": "tooth"}]
    assert [each["zone"] for each in case["readings"]] == ["cervical"] * 3 + ["middle"] * 3 + ["incisal"] * 3
    assert {each["state"] for each in case["readings"]} == {"glazed"}
    assert {each["specimen_id"] for each in case["readings"]} == {"specimen-1"}
    assert "tags" not in str(case["extensions"])


def test_what_a_tag_states_is_not_assumed() -> None:
    codes = {item["code"] for item in bench().loss["items"] if item["fate"] == "defaulted"}
    assert codes == {"sitting-assumed", "instrument-kind-assumed"}


def test_without_the_option_tags_are_kept_and_nothing_is_guessed() -> None:
    case = read_cxf(BENCH.encode()).case
    assert {each["zone"] for each in case["readings"]} == {"unknown"}
    assert len(case["specimens"]) == 9
    tags = case["extensions"]["org.shadefmt.cxf"]["readings"]["reading-1"]["tags"]
    assert {"collection": "what", "name": "Zone", "value": "cervical"} in tags


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('Value="cervical"', 'Value="Cervical"', get_args(Zone)),
        ('Value="cervical"', 'Value="neck"', get_args(Zone)),
        ('Value="restoration"', 'Value="crown"', get_args(SpecimenKind)),
    ],
)
def test_other_words_are_refused_with_the_words_there_are(old: str, new: str, words: tuple[str, ...]) -> None:
    with pytest.raises(Refused) as refusal:
        bench(BENCH.replace(old, new, 1))
    assert re.match(r"line [0-9]+, Object o1", refusal.value.where)
    assert all(word in refusal.value.remedy for word in words)


@pytest.mark.parametrize("tooth", ["19", "00", "1", "111", "56", "#8", "1.1", "\u0661\u0661"])
def test_what_is_no_tooth_of_iso_3950_is_refused(tooth: str) -> None:
    with pytest.raises(Refused, match="no tooth of ISO 3950"):
        bench(BENCH.replace('Name="Tooth" Value="11"', f'Name="Tooth" Value="{tooth}"', 1))


def test_the_teeth_of_iso_3950_are_fifty_two() -> None:
    assert len(TEETH) == 32 + 20


def test_a_tooth_without_notation_is_wrong_use() -> None:
    with pytest.raises(WrongUse, match="notation"):
        read_cxf(BENCH.encode(), tags=TAGS)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"tags": {"brightness": "B"}}, "no tag can be read as 'brightness'"),
        ({"tags": {"zone": "Place", "column": "Place"}}, "one tag is to be read as two members"),
        ({"notation": "universal"}, "iso-3950"),
        ({"specimen_kind": "crown"}, "no kind of specimen"),
        ({"instrument_kind": "eye"}, "no kind of instrument"),
    ],
)
def test_arguments_that_make_no_sense_are_wrong_use(options: dict[str, Any], said: str) -> None:
    with pytest.raises(WrongUse, match=said):
        read_cxf(BENCH.encode(), **options)


def test_an_object_without_the_tag_is_as_without_the_option() -> None:
    result = read_cxf(objects({"Zone": "middle"}, {}, {"Zone": "  "}), tags={"zone": "Zone"})
    assert [each["zone"] for each in result.case["readings"]] == ["middle", "unknown", "unknown"]


def test_a_tag_that_says_two_things_is_refused() -> None:
    data = objects({"Zone": "middle"}).replace(b"</TagCollection>", b'<Tag Name="Zone" Value="whole"/></TagCollection>')
    with pytest.raises(Refused, match="there twice and says two things"):
        read_cxf(data, tags={"zone": "Zone"})
    assert read_cxf(data.replace(b"whole", b"middle"), tags={"zone": "Zone"}).case["readings"][0]["zone"] == "middle"


def test_objects_of_one_group_are_readings_of_one_specimen() -> None:
    data = objects({"Disc": "7"}, {"Disc": "8"}, {"Disc": "7"}, {})
    case = read_cxf(data, tags={"group": "Disc"}).case
    assert [each["specimen_id"] for each in case["readings"]] == [
        "specimen-1",
        "specimen-2",
        "specimen-1",
        "specimen-3",
    ]


def test_one_specimen_is_not_two_kinds() -> None:
    data = objects({"Disc": "7", "Kind": "tooth"}, {"Disc": "7", "Kind": "gingiva"})
    with pytest.raises(Refused, match="contradict"):
        read_cxf(data, tags={"group": "Disc", "specimen": "Kind"})


def test_region_column_role_and_surface_are_members_too() -> None:
    tags = {"Z": "region", "R": "beside the scar", "C": "mesial", "H": "dry", "I": "dam", "B": "black", "O": "control"}
    names = {
        "zone": "Z",
        "region": "R",
        "column": "C",
        "hydration": "H",
        "isolation": "I",
        "backing": "B",
        "role": "O",
    }
    (reading,) = read_cxf(objects(tags), tags=names).case["readings"]
    assert {name: reading[name] for name in names} == {name: tags[tag] for name, tag in names.items()}
    Case.model_validate(read_cxf(objects(tags), tags=names).case)
    assert set(names) < set(TAG_MEMBERS)


def test_a_tag_and_a_specification_may_not_name_two_backings() -> None:
    text = BENCH.replace('Name="State" Value="glazed"', 'Name="Behind" Value="white"', 1)
    with pytest.raises(Refused, match="the backing was white, the specification black"):
        read_cxf(text.encode(), tags={"backing": "Behind"})


def test_kinds_may_be_stated() -> None:
    result = read_cxf(BENCH.encode(), specimen_kind="check-patch", instrument_kind="spectroradiometer")
    assert {each["kind"] for each in result.case["specimens"]} == {"check-patch"}
    assert [each["kind"] for each in result.case["instruments"]] == ["spectroradiometer"]
    assert "instrument-kind-assumed" not in {item.get("code") for item in result.loss["items"]}


def test_readings_on_two_days_are_two_sessions() -> None:
    later = BENCH.replace("2026-03-12T15:55:00+01:00", "2026-03-13T08:00:00+01:00")
    case = bench(later).case
    assert [each["session_id"] for each in case["readings"]] == ["session-1"] * 8 + ["session-2"]
    assert {each["instrument_id"] for each in case["sessions"]} == {"instrument-1"}


@pytest.mark.parametrize(
    ("date", "kept"),
    [
        ("2026-03-04", True),
        ("2026-03-04T09:31", True),
        ("2026-03-04T09:31:00", True),
        ("2026-03-04T09:31:00.123456789Z", True),
        ("2026-03-04T09:31:00-05:30", True),
        ("04.03.2026", False),
        ("3/4/2026 9:31 AM", False),
        ("-2026-03-04T09:31:00", False),
        ("2026-03-04T09:31:00+01:00 or so", False),
    ],
)
def test_dates_stay_as_written_or_aside(date: str, kept: bool) -> None:
    text = BENCH.replace("2026-03-12T15:52:20+01:00", date, 1)
    result = read_cxf(text.encode())
    reading = result.case["readings"][0]
    extension = result.case["extensions"]["org.shadefmt.cxf"]["readings"]["reading-1"]
    assert (reading.get("at"), extension.get("created")) == ((date, None) if kept else (None, date))
    assert ("date-unreadable" in {notice.code for notice in result.notices}) is not kept
    Case.model_validate(result.case)


def test_who_made_the_file_is_not_carried() -> None:
    named = BENCH.replace("<cc:FileInformation>", "<cc:FileInformation><cc:Creator>Somebody Real</cc:Creator>")
    result = read_cxf(named.encode())
    assert "Somebody" not in str(result.case)
    assert "Somebody" not in str(result.loss)
    assert "creator" in {item.get("code") for item in result.loss["items"]}
