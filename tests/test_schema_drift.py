"""The published schemas: what the models say, in the keywords that validators and code generators agree on.

Reserved words: Python 3.11 (`keyword`), ECMA-262 with the reserved words of TypeScript's grammar, the Java Language
Specification (section 3.9), the C# language specification (keywords). What generators trip over was found by running
four of them on schemas with and without each construct.
"""

import importlib.util
import json
import keyword
import re
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

import jsonschema  # type: ignore[import-untyped]
import jsonschema_rs
import pytest
from pydantic import BaseModel
from specification_text import definition

from shadefmt.model.kinds import KINDS
from shadefmt.model.schema import SCHEMA_BASE
from shadefmt.versions import FORMAT_VERSION

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "schema" / FORMAT_VERSION

KEYWORDS = {
    *("$schema", "$id", "$defs", "$ref", "title", "description", "type", "properties", "required"),
    *("allOf", "additionalProperties", "propertyNames", "minProperties", "items", "minItems", "enum", "const"),
    *("minLength", "maxLength", "pattern", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"),
}
"""What a schema may be made of; no unions."""

ECMASCRIPT = """
    await break case catch class const continue debugger default delete do else enum export extends false finally
    for function if implements import in instanceof interface let new null package private protected public return
    static super switch this throw true try typeof var void while with yield
"""
JAVA = """
    abstract assert boolean break byte case catch char class const continue default do double else enum extends
    final finally float for goto if implements import instanceof int interface long native new package private
    protected public return short static strictfp super switch synchronized this throw throws transient try void
    volatile while true false null _
"""
C_SHARP = """
    abstract as base bool break byte case catch char checked class const continue decimal default delegate do double
    else enum event explicit extern false finally fixed float for foreach goto if implicit in int interface internal
    is lock long namespace new null object operator out override params private protected public readonly ref return
    sbyte sealed short sizeof stackalloc static string struct switch this throw true try typeof uint ulong unchecked
    unsafe ushort using virtual void volatile while
"""
RESERVED = {*keyword.kwlist, *ECMASCRIPT.split(), *JAVA.split(), *C_SHARP.split()}
PYDANTIC = {name for name in dir(BaseModel) if not name.startswith("_")}


class Fragment(NamedTuple):
    """A subschema, where it stands, and the member that it describes."""

    place: str
    schema: dict[str, Any]
    member: str


def schemas() -> dict[str, dict[str, Any]]:
    return {path.name: json.loads(path.read_bytes()) for path in sorted(FOLDER.glob("*.schema.json"))}


def fragments(schema: dict[str, Any], place: str, member: str = "") -> Iterator[Fragment]:
    """Yield a schema and every schema inside it."""
    yield Fragment(place, schema, member)
    for key in ("properties", "$defs"):
        for name, inner in schema.get(key, {}).items():
            yield from fragments(inner, f"{place}/{key}/{name}", name if key == "properties" else "")
    for key in ("items", "additionalProperties", "propertyNames"):
        if isinstance(schema.get(key), dict):
            yield from fragments(schema[key], f"{place}/{key}", member)


ALL = [fragment for name, schema in schemas().items() for fragment in fragments(schema, name)]


def places(fragments_found: Iterator[Fragment]) -> list[str]:
    return [each.place for each in fragments_found]


@pytest.fixture(scope="module")
def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("generate_schemas", ROOT / "scripts" / "generate_schemas.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_files_are_what_the_models_say(generator: ModuleType) -> None:
    expected = generator.expected()
    assert sorted(expected) == sorted([*FOLDER.glob("*.schema.json"), FOLDER / "members.json"])
    stale = [path.name for path, text in expected.items() if path.read_text(encoding="utf-8") != text]
    assert not stale, "run: python -m scripts.generate_schemas"


@pytest.mark.parametrize("name", schemas())
def test_a_schema_fits_the_metaschema(name: str) -> None:
    schema = schemas()[name]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema_rs.meta.validate(schema)


def test_every_kind_has_its_file_and_is_named_by_it() -> None:
    assert set(schemas()) == {f"{kind}.schema.json" for kind in KINDS}
    for name, schema in schemas().items():
        assert schema["$id"] == f"{SCHEMA_BASE}{FORMAT_VERSION}/{name}"
        assert schema["properties"]["kind"]["const"] == name.removesuffix(".schema.json")
        assert {"format", "version", "kind"} <= set(schema["required"])


def test_only_keywords_that_all_agree_on_are_used() -> None:
    assert not [(each.place, found) for each in ALL if (found := each.schema.keys() - KEYWORDS)]


def test_a_reference_stands_alone_or_beside_a_description() -> None:
    """Beside a bare `$ref` a description makes a class of its own in one generator; `allOf` serves for nothing else."""
    for each in ALL:
        if "$ref" in each.schema:
            assert each.schema.keys() == {"$ref"}, each.place
        if "allOf" in each.schema:
            assert each.schema.keys() == {"description", "allOf"}, each.place
            assert [list(inner) for inner in each.schema["allOf"]] == [["$ref"]], each.place


def test_words_to_choose_from_have_a_definition_of_their_own() -> None:
    for each in ALL:
        if "enum" in each.schema:
            assert "/$defs/" in each.place, each.place
            assert "title" in each.schema, each.place


def test_objects_are_closed_flat_and_named() -> None:
    for each in ALL:
        if "properties" in each.schema:
            assert each.schema["additionalProperties"] is False, each.place
            assert each.schema["type"] == "object"
            assert each.schema["title"]
            assert "/properties/" not in each.place, f"{each.place}: an object without a definition of its own"


def test_titles_stand_on_definitions_only() -> None:
    assert not places(each for each in ALL if "title" in each.schema and each.member)
    for schema in schemas().values():
        assert all(name == inner["title"] for name, inner in schema.get("$defs", {}).items())


def test_every_member_and_definition_of_an_object_is_described() -> None:
    members = [each for each in ALL if each.place.rsplit("/", 2)[-2:-1] == ["properties"]]
    assert len(members) > 250
    assert not places(each for each in members if len(each.schema.get("description", "")) < 3)
    assert not places(each for each in ALL if "properties" in each.schema and "description" not in each.schema)


def test_descriptions_are_sentences() -> None:
    for each in ALL:
        text = each.schema.get("description")
        if text is not None:
            assert re.fullmatch(r"[A-Z`].*[.]", text), (each.place, text)
            assert "\n" not in text


def test_nothing_is_nullable() -> None:
    for each in ALL:
        assert each.schema.get("type") != "null"
        assert None not in each.schema.get("enum", [])


def test_lists_refuse_to_be_empty() -> None:
    lists = [each for each in ALL if each.schema.get("type") == "array"]
    assert lists
    assert not places(each for each in lists if each.schema.get("minItems", 0) < 1)


def test_patterns_are_anchored_and_portable() -> None:
    patterns = {each.schema["pattern"] for each in ALL if "pattern" in each.schema}
    assert len(patterns) >= 6
    for pattern in patterns:
        assert pattern.isascii()
        assert pattern.startswith("^")
        assert pattern.endswith("$")
        bare = re.sub(r"\[[^\]]*\]|\\[^A-Za-z0-9]", "", pattern)
        assert not re.search(r"\\[A-Za-z0-9]", pattern), f"{pattern}: write classes out"
        assert not re.search(r"\.|\(\?|[*+?}][*+?]", bare), f"{pattern}: no point, look-around or possessive repeat"
        assert not re.search(r"\|", re.sub(r"\([^()]*\)", "", bare)), f"{pattern}: alternatives in a group"


def test_bounded_patterns_take_linear_time() -> None:
    for each in ALL:
        if "pattern" in each.schema and "{64}" not in each.schema["pattern"]:
            assert "maxLength" in each.schema or not re.search(r"[*+]", each.schema["pattern"]), each.place


def test_word_lists_have_no_word_twice_and_keep_their_form() -> None:
    for each in ALL:
        words = each.schema.get("enum")
        if words is not None:
            assert len(set(words)) == len(words)
            assert len({word.casefold() for word in words}) == len(words), each.place
            assert all(re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9:._-]*", word) for word in words), each.place


def test_references_lead_to_definitions_that_are_all_used() -> None:
    for schema in schemas().values():
        text = json.dumps(schema)
        used = re.findall(r'"\$ref": "#/\$defs/([A-Za-z0-9]+)"', text)
        assert text.count('"$ref"') == len(used)
        assert set(used) == set(schema.get("$defs", {}))


def test_no_object_holds_itself() -> None:
    for schema in schemas().values():
        needs = {
            name: set(re.findall(r'#/\$defs/([A-Za-z0-9]+)"', json.dumps(inner)))
            for name, inner in schema.get("$defs", {}).items()
        }
        while free := [name for name, inner in needs.items() if not inner & needs.keys()]:
            for name in free:
                del needs[name]
        assert not needs


def test_one_name_means_one_thing_in_all_schemas() -> None:
    meanings: dict[str, list[Any]] = {}
    for schema in schemas().values():
        for name, inner in schema.get("$defs", {}).items():
            if inner not in meanings.setdefault(name, []):
                meanings[name].append(inner)
    assert not [name for name, found in meanings.items() if len(found) > 1]


def members() -> list[tuple[str, str]]:
    return [(each.place, name) for each in ALL for name in each.schema.get("properties", {})]


def test_members_are_lower_snake_case_but_for_symbols() -> None:
    shape = re.compile(r"([a-z][a-z0-9]*|[A-Z])(_([a-z0-9]+|[A-Z][a-z]?))*")
    assert not [name for _, name in members() if not shape.fullmatch(name)]


def test_no_two_members_of_an_object_differ_by_case_only() -> None:
    for each in ALL:
        names = [name.casefold() for name in each.schema.get("properties", {})]
        assert len(set(names)) == len(names), each.place


def test_no_member_is_reserved_in_a_language() -> None:
    assert not sorted({name for _, name in members() if name in RESERVED})


def test_no_member_hides_what_pydantic_needs() -> None:
    assert not sorted({name for _, name in members() if name in PYDANTIC})


def test_what_refers_ends_in_id_and_nothing_else_does() -> None:
    for each in ALL:
        for name, member in each.schema.get("properties", {}).items():
            target = definition(member) or definition(member.get("items", {}))
            names_an_entry = target == "EntryId" and name != "id"
            if each.place.startswith("report.") and name == "entry_id":
                continue  # as it stands in the file, which may be no id
            if name.endswith(("_id", "_ids")):
                assert names_an_entry, f"{each.place}: {name}"
                assert name.endswith("_ids") == (member.get("type") == "array")
            elif names_an_entry:
                assert name in ENTRY_NAMES, f"{each.place}: {name}"


ENTRY_NAMES = {"name", "group", "colour"}
"""Members of a table mapping that name its own colours and groups, which are no entries of a document."""
