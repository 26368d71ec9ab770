"""Documents as values: read strictly, written in file form, recognised by kind, pinned by digest."""

from collections.abc import Mapping
from typing import Any

from shadefmt.collecting import collector_paused
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import read_bytes, write_whole
from shadefmt.jsontext import decode, digest, file_form
from shadefmt.model.base import Block
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.versions import FORMAT_NAME

Value = dict[str, Any]


def loads(data: bytes | str) -> Value:
    """Return the document that bytes hold, as plain values.

    Only the text is looked at; `check` says whether the document is sound.

    Raises:
        Refused: the bytes are not strict JSON, or not an object; the text says where and why.
    """
    decoded = decode(data.encode("utf-8", "surrogatepass") if isinstance(data, str) else data)
    if not decoded.has_value:
        fault = next(each for each in decoded.faults if each.code != "syntax-byte-order-mark")
        what = f"{fault.code.removeprefix('syntax-').replace('-', ' ')} ({_facts(fault.params)})"
        raise Refused(what, where=f"line {fault.line}, column {fault.column}", remedy="Mend the JSON text")
    if not isinstance(decoded.value, dict):
        raise Refused("the document is not an object", where="line 1, column 1")
    return decoded.value


def load(path: str) -> Value:
    """Return the document in a file (`-` is standard input), as `loads` does.

    Raises:
        CannotRead: the file cannot be read.
        Refused: as for `loads`.
    """
    try:
        return loads(read_bytes(path))
    except Refused as refusal:
        raise Refused(refusal.what, where=f"{path}: {refusal.where}", remedy=refusal.remedy) from None


def dumps(document: Value | Block) -> bytes:
    """Return the file form of a document: root members a line each, entries of root lists a line each."""
    return file_form(document.to_value() if isinstance(document, Block) else document)


def dump(document: Value | Block, path: str, *, replace: bool = False) -> None:
    """Write a document in file form, whole or not at all.

    Raises:
        CannotWrite: the target exists and `replace` was not said, or the place cannot be written to.
    """
    write_whole(path, dumps(document), replace=replace)


def as_model(value: Value) -> Block:
    """Return the model of a document value.

    Raises:
        WrongUse: the value is no document of a known kind.
        pydantic.ValidationError: it does not fit the model of its kind.
    """
    kind = value.get("kind")
    if value.get("format") != FORMAT_NAME or not isinstance(kind, str) or kind not in KINDS:
        raise WrongUse(f"not a document of a known kind: {kind!r}")
    with collector_paused():
        return model_of(kind).model_validate(value)


def pin(document: Mapping[str, Any]) -> Value:
    """Return what pins an embedded copy to its document: id and digest."""
    return {"id": document["id"], "sha256": digest(document)}


def embedded_set(document: Value, entry_id: str) -> Value:
    """Return a whole reference-set document as an entry of a case."""
    return {
        "id": entry_id,
        "title": document["title"],
        "extract": False,
        "document": pin(document),
        "references": document["references"],
    }


def embedded_tolerance(document: Value, entry_id: str, agreed_by_ids: list[str], agreed_at: str) -> Value:
    """Return a tolerance document as an entry of a case, with who agreed it and when."""
    root = ("format", "version", "kind", "id", "extensions_required", "title", "extensions")
    content = {name: item for name, item in document.items() if name not in root}
    return {
        "id": entry_id,
        **content,
        "title": document["title"],
        "document": pin(document),
        "agreed_by_ids": agreed_by_ids,
        "agreed_at": agreed_at,
    }


def _facts(params: Mapping[str, Any]) -> str:
    return ", ".join(f"{name.replace('_', ' ')}: {item}" for name, item in params.items())
