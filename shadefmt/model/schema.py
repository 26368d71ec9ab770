"""JSON Schema (2020-12) of every kind, made from the models and nothing else.

The output keeps to what validators and code generators agree on: closed flat objects,
shared shapes and word lists under `$defs`, no `format`, no `default`, no titles on members. A member that has a shape
of its own name keeps its description beside an `allOf` of one reference: beside a bare `$ref`, generators make a new
class for each description.
"""

import ast
import inspect
import textwrap
from functools import cache
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from shadefmt import vocabulary
from shadefmt.model import base
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.model.since import lacking
from shadefmt.versions import FORMAT_VERSION

SCHEMA_BASE = "https://w3id.org/shadefmt/"


class _PlainSchema(GenerateJsonSchema):
    """Leaves out what pydantic adds beyond the models, and says maps the way generators understand them."""

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        made: JsonSchemaValue = {"type": "object"}
        names = self.generate_inner(schema["keys_schema"]) if "keys_schema" in schema else {}
        names.pop("type", None)
        if names:
            made["propertyNames"] = names
        values = self.generate_inner(schema["values_schema"]) if "values_schema" in schema else {}
        made["additionalProperties"] = values or True
        if schema.get("min_length"):
            made["minProperties"] = schema["min_length"]
        return made


def schema_of(kind: str, version: str = FORMAT_VERSION) -> dict[str, Any]:
    """Return the JSON Schema of one kind, with the members that a version of the format has.

    Raises:
        KeyError: no such kind.
    """
    model = model_of(kind)
    made = model.model_json_schema(schema_generator=_PlainSchema)
    definitions: dict[str, Any] = made.pop("$defs", {})
    classes = {each.__name__: each for each in _blocks(base.Block)}
    for name, shape in definitions.items():
        _describe(shape, classes[name], version)
    _describe(made, model, version)
    stated = made["properties"]["version"]
    made["properties"]["version"] = {"description": stated["description"], "const": version, "type": "string"}
    named = _named_fragments()
    used: dict[str, Any] = {}
    body = {key: _hoist(item, named, used) for key, item in made.items()}
    definitions = {key: _hoist(item, named, used) for key, item in definitions.items()} | used
    definitions = {name: definitions[name] for name in _reached(body, definitions)}
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"{SCHEMA_BASE}{version}/{kind}.schema.json",
        **body,
    }
    if definitions:
        schema["$defs"] = dict(sorted(definitions.items()))
    return schema


def all_schemas(version: str = FORMAT_VERSION) -> dict[str, dict[str, Any]]:
    """Return the JSON Schema of every kind by kind."""
    return {kind: schema_of(kind, version) for kind in KINDS}


def _reached(item: Any, definitions: dict[str, Any]) -> set[str]:
    """Return the names of the definitions that a part of a schema leads to."""
    if isinstance(item, dict) and isinstance(item.get("$ref"), str):
        name = item["$ref"].rpartition("/")[2]
        return {name} | _reached(definitions[name], definitions)
    inner = item.values() if isinstance(item, dict) else item if isinstance(item, list) else ()
    return {name for each in inner for name in _reached(each, definitions)}


def _blocks(root: type[base.Block]) -> list[type[base.Block]]:
    found = []
    for each in root.__subclasses__():
        found += [each, *_blocks(each)]
    return found


def _describe(shape: dict[str, Any], model: type[base.Block], version: str) -> None:
    """Put the docstring of the class and of each attribute into the schema; take out members of later versions."""
    for name in lacking(model, version):
        del shape["properties"][name]
    shape["title"] = model.__name__
    shape["description"] = inspect.cleandoc(model.__doc__ or "").split("\n\n")[0].replace("\n", " ")
    texts: dict[str, str] = {}
    for ancestor in reversed(model.__mro__):
        if issubclass(ancestor, base.Block) and ancestor is not base.Block:
            texts |= _attribute_texts(ancestor)
    for name, member in shape["properties"].items():
        shape["properties"][name] = {"description": texts[name], **member}
    for key in ("title", "description", "type", "properties", "required", "additionalProperties"):
        if key in shape:
            shape[key] = shape.pop(key)


@cache
def _attribute_texts(model: type[base.Block]) -> dict[str, str]:
    body = ast.parse(textwrap.dedent(inspect.getsource(model))).body[0]
    assert isinstance(body, ast.ClassDef)
    texts = {}
    for statement, after in zip(body.body, body.body[1:], strict=False):
        if (
            isinstance(statement, ast.AnnAssign)
            and isinstance(statement.target, ast.Name)
            and isinstance(after, ast.Expr)
            and isinstance(after.value, ast.Constant)
        ):
            texts[statement.target.id] = inspect.cleandoc(str(after.value.value)).replace("\n", " ")
    return texts


@cache
def _named_fragments() -> dict[str, dict[str, Any]]:
    """Word lists and text shapes that have a name of their own, by name."""
    from pydantic import TypeAdapter

    fragments = {}
    for module, names in (
        (vocabulary, [name for name in vars(vocabulary) if name[0].isupper() and not name.isupper()]),
        (
            base,
            ["EntryId", "DocumentId", "Sha256", "Text", "ShortText", "Timestamp", "Tooth", "Area", "ExtensionName"],
        ),
    ):
        for name in names:
            if name not in ("Final", "Literal"):
                adapter: TypeAdapter[Any] = TypeAdapter(getattr(module, name))
                fragments[name] = adapter.json_schema(schema_generator=_PlainSchema)
    return fragments


def _hoist(item: Any, named: dict[str, dict[str, Any]], used: dict[str, Any]) -> Any:
    """Replace every fragment that has a name by a reference to its definition."""
    if isinstance(item, list):
        return [_hoist(each, named, used) for each in item]
    if not isinstance(item, dict):
        return item
    bare = {key: each for key, each in item.items() if key != "description"}
    described = {"description": item["description"]} if "description" in item else {}
    name = next((name for name, fragment in named.items() if bare == fragment), None)
    if name is not None:
        used[name] = {"title": name, **named[name]}
        bare = {"$ref": f"#/$defs/{name}"}
    if described and "$ref" in bare:
        return {**described, "allOf": [bare]}
    return bare if name is not None else {key: _hoist(each, named, used) for key, each in item.items()}
