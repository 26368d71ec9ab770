"""`shadefmt schema`: the published JSON Schema of a kind."""

import argparse

from shadefmt.errors import WrongUse
from shadefmt.files import STANDARD, write_whole
from shadefmt.model.kinds import KINDS
from shadefmt.resources import schema_folder
from shadefmt.versions import FORMAT_VERSION


def run(given: argparse.Namespace) -> int:
    """Print one schema, or the kinds there are."""
    if given.kind is None:
        print("\n".join(KINDS))
        return 0
    if given.kind not in KINDS:
        raise WrongUse(f"there is no kind {given.kind!r}. Kinds are {', '.join(KINDS)}")
    path = schema_folder() / FORMAT_VERSION / f"{given.kind}.schema.json"
    write_whole(STANDARD, path.read_bytes())
    return 0
