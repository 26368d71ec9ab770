"""`shadefmt show`: a case for a person, in the terminal or as one page."""

import argparse
import sys

from shadefmt.checking import check
from shadefmt.cli.cases import first_fault
from shadefmt.cli.sources import Source, all_sources, the_source
from shadefmt.documents import loads
from shadefmt.errors import Refused, WrongUse
from shadefmt.files import write_whole
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering import case_text, page_html, report_text
from shadefmt.structure import structured
from shadefmt.versions import FORMAT_VERSIONS


def run(given: argparse.Namespace) -> int:
    """Show cases with what the checker says of them; a file that cannot be shown is reported instead."""
    if given.html is not None:
        case, report = _judged(the_source(given.case), given.as_of)
        write_whole(given.html, page_html(case, report).encode(), replace=given.force)
        return 0
    for source in all_sources([given.case], lines=given.lines):
        sys.stdout.write(case_text(*_judged(source, given.as_of)))
    return 0


def _judged(source: Source, as_of: str | None) -> tuple[Case, Report]:
    data, name = source.data, source.name
    report = check(data, as_of=as_of, name=name)
    if first_fault(report.findings) is not None:
        sys.stderr.write(report_text(report, name=name))
        raise Refused("the file cannot be shown before these faults are mended", where=name)
    value = loads(data)
    if value["kind"] != "case":
        raise WrongUse(f"{name} is a {value['kind']}; only cases can be shown")
    case = structured(value, "case", newer=value["version"] not in FORMAT_VERSIONS).root
    assert isinstance(case, Case)
    return case, report
