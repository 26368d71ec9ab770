"""`shadefmt show`: a case for a person, in the terminal or as one page."""

import argparse
import sys

from shadefmt.checking import check
from shadefmt.cli.cases import first_fault
from shadefmt.documents import loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import read_bytes, write_whole
from shadefmt.model.case import Case
from shadefmt.rendering import case_text, page_html, report_text
from shadefmt.structure import structured
from shadefmt.versions import FORMAT_VERSIONS


def run(given: argparse.Namespace) -> int:
    """Show a case with what the checker says of it; a file that cannot be shown is reported instead."""
    data = read_bytes(given.case)
    report = check(data, as_of=given.as_of, name=given.case)
    if first_fault(report.findings) is not None:
        sys.stderr.write(report_text(report, name=given.case))
        raise Refused("the file cannot be shown before these faults are mended", where=given.case)
    value = loads(data)
    if value["kind"] != "case":
        raise WrongUse(f"{given.case} is a {value['kind']}; only cases can be shown")
    case = structured(value, "case", newer=value["version"] not in FORMAT_VERSIONS).root
    assert isinstance(case, Case)
    if given.html is not None:
        write_whole(given.html, page_html(case, report).encode(), replace=given.force)
    else:
        sys.stdout.write(case_text(case, report))
    return 0
