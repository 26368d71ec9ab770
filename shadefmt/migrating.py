"""A document restated in another version of the format, with an account of what that version cannot carry."""

import json
from copy import deepcopy
from typing import NamedTuple

from shadefmt.converters.base import Account, loss_report, source_info
from shadefmt.documents import Value, loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.history import as_it_was
from shadefmt.jsontext import digest, pointer_of, resolve
from shadefmt.model.kinds import EXCHANGED_KINDS
from shadefmt.structure import Fault, structured
from shadefmt.versions import FORMAT_MAJOR, FORMAT_NAME, FORMAT_VERSIONS

NOT_THERE = "The version asked for has no such member"
RESTATED = "The digest of an earlier state is of what is left of it; the document that was sent has another"


class Migrated(NamedTuple):
    """A document in the version asked for, and the loss report."""

    document: Value
    loss: Value


def migrate(data: bytes, version: str, *, full: bool = False) -> Migrated:
    """Restate a document in another version of the same major version.

    Up, only `version` changes. Down, every member that the version lacks is dropped and listed as a loss; digests
    of earlier states that held one are taken anew, and that is listed as well.

    Raises:
        Refused: the bytes are no document, or it does not fit its own version.
        WrongUse: this program does not know the version asked for, or the kind is not one that people exchange.
    """
    document = loads(data)
    kind = document.get("kind")
    if version not in FORMAT_VERSIONS:
        raise WrongUse(f"version {version!r} is not known here; known are {', '.join(FORMAT_VERSIONS)}")
    if document.get("format") != FORMAT_NAME or kind not in EXCHANGED_KINDS:
        raise WrongUse(f"a document of kind {kind!r} is not migrated")
    _refuse_unsound(document, kind)
    account = Account(full)
    made = {**deepcopy(document), "version": version}
    for fault in structured(made, kind).faults:
        _drop(made, fault, account)
    if account.losses:
        _restate_digests(document, made, account)
    if document["version"] != version:
        account.converted("/version", "/version", "The version asked for")
    for name in made:
        account.kept(f"/{name}")
    source = source_info(f"{FORMAT_NAME} {document['version']}", data)
    readings = len(made.get("readings", []))
    report = loss_report(source, account, target_format=f"{FORMAT_NAME} {version}", documents=1, readings=readings)
    return Migrated(made, report)


def _refuse_unsound(document: Value, kind: str) -> None:
    """Raise Refused where a document does not fit its own version, as far as that is known."""
    stated = document.get("version")
    newer = stated not in FORMAT_VERSIONS
    if newer and not (isinstance(stated, str) and stated.startswith(f"{FORMAT_MAJOR}.")):
        raise Refused(f"version {stated!r} is of another major version, or none", where="/version")
    for fault in structured(document, kind, newer=newer).faults:
        if fault.code != "structure-member-unknown-newer":
            what = f"the document does not fit its version {stated} ({fault.code})"
            raise Refused(what, where=fault.pointer or "root", remedy="Run shadefmt check, and mend it first")


def _drop(made: Value, fault: Fault, account: Account) -> None:
    holder: Value = resolve(made, fault.pointer)
    name = fault.params["member"]
    item = holder.pop(name)
    where = f"{fault.pointer}{pointer_of([name])}"
    pattern = "/".join("*" if step.isdigit() else step for step in where.split("/"))
    old = item if isinstance(item, str) else json.dumps(item, ensure_ascii=False)
    account.lost(pattern[:200], "dropped", "version-member", NOT_THERE, where=where[:200], old=old)


def _restate_digests(before: Value, made: Value, account: Account) -> None:
    """Take digests of earlier states anew where they held before; earliest first, since later ones build on them."""
    for place, revision in enumerate(made.get("revisions", [])):
        for parent in revision.get("parents", []):
            old, at = parent["sha256"], parent["revision_id"]
            new = digest(as_it_was(made, at))
            if new != old == digest(as_it_was(before, at)):
                parent["sha256"] = new
                where = f"/revisions/{place}"
                account.lost(
                    "/revisions/*/parents/*/sha256",
                    "defaulted",
                    "version-digest",
                    RESTATED,
                    where=where,
                    old=old,
                    new=new,
                )
