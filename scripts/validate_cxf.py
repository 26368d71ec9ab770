"""Validate written CxF3 against the public XML Schema: `python -m scripts.validate_cxf --xsd CxF3_Core.xsd [CASE...]`.

The schema is no part of this project; the source distribution of colour-cxf on PyPI holds it as `CxF3_Core.xsd`
(`pip download --no-deps --no-binary :all: colour-cxf`). Without cases every example case is written and validated.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from lxml import etree

from shadefmt.converters.cxf import write_cxf
from shadefmt.documents import load
from shadefmt.errors import Refused

EXAMPLES = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"


def faults(schema: etree.XMLSchema, path: str) -> list[str] | None:
    """Return what the schema has against the file that a case is written as; None where nothing can be written."""
    try:
        data = write_cxf(load(path)).data
    except Refused:
        return None
    fits = schema.validate(etree.fromstring(data))
    return [] if fits else [f"{path}: {schema.error_log}"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Say what does not fit; 0 where everything does."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--xsd", required=True, help="the XML Schema of CxF3")
    parser.add_argument("cases", nargs="*", help="case documents; the examples where none is named")
    given = parser.parse_args(arguments)
    schema = etree.XMLSchema(file=given.xsd)
    cases = given.cases or [
        str(path) for path in sorted(EXAMPLES.glob("*.shade.json")) if load(str(path))["kind"] == "case"
    ]
    found = {path: faults(schema, path) for path in cases}
    written = [each for each in found.values() if each is not None]
    for each in written:
        for line in each:
            print(line)
    print(f"{len(written)} of {len(cases)} cases written, {sum(map(bool, written))} of them do not fit")
    return 1 if any(written) or not written else 0


if __name__ == "__main__":
    sys.exit(main())
