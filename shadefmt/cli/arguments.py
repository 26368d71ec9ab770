"""Options of every verb. Declared apart from the verbs, so that help needs nothing of what they import."""

import argparse
from collections.abc import Callable
from typing import Final, get_args

from shadefmt.converters.formats import BOTH_WAYS, WRITTEN
from shadefmt.timestamps import moment
from shadefmt.versions import FORMAT_VERSIONS
from shadefmt.vocabulary import DecisionRule, DifferenceFormula, Illuminant, Observer, Question, UncertaintySource


def add(verb: str, parser: argparse.ArgumentParser) -> None:
    """Add the options of one verb to its parser."""
    _OPTIONS[verb](parser)


def _check(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("paths", nargs="+", metavar="PATH", help="file, folder (every *.shade.json in it), or - ")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="json: one report a line")
    parser.add_argument("--as-of", type=a_moment, metavar="DATE", help="moment that time-dependent rules run for")
    parser.add_argument(
        "--with", dest="documents", action="append", default=[], metavar="DOC", help="document that cases may pin"
    )
    parser.add_argument("--previous", metavar="OLD", help="earlier version of the case; every change to it is reported")
    parser.add_argument("--profile", metavar="P", help="intake profile; says beside the check whether cases are taken")
    parser.add_argument("--waivers", metavar="W", help="waiver list of the same receiver")
    parser.add_argument("--lines", action="store_true", help="every line of the files is a document (as in *.ndjson)")
    parser.add_argument("--max-findings", type=a_count, metavar="N", help="list at most N findings of a file")
    parser.add_argument("-v", "--verbose", action="store_true", help="list every rule that did not run")
    parser.add_argument("-q", "--quiet", action="store_true", help="print nothing for sound files without findings")


def _explain(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "codes", nargs="*", metavar="CODE", help="code of a finding or word of a demand; none lists all"
    )
    parser.add_argument("--all", action="store_true", help="explain every code and demand")


def _schema(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kind", nargs="?", metavar="KIND", help="kind of document; none lists the kinds")


def _derive(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", metavar="CASE", help="case, bundle, folder or *.ndjson to complete, or -")
    parser.add_argument("--lines", action="store_true", help="every line of the files is a document (as in *.ndjson)")
    _output(parser, "case with what was derived (standard output if left out)")
    parser.add_argument("--illuminant", choices=_known(Illuminant), default="D65", help="default: %(default)s")
    parser.add_argument("--observer", choices=_known(Observer), default="2-degree", help="default: %(default)s")
    parser.add_argument(
        "--formula", choices=get_args(DifferenceFormula), default="CIEDE2000", help="default: %(default)s"
    )
    parser.add_argument("--question", choices=get_args(Question), default="match", help="default: %(default)s")
    parser.add_argument("--decimals", type=a_count, default=2, metavar="N", help="default: %(default)s")
    parser.add_argument(
        "--component",
        dest="components",
        action="append",
        default=[],
        type=a_component,
        metavar="SOURCE=U",
        help=f"standard uncertainty that repeats do not show; sources: {', '.join(get_args(UncertaintySource))}",
    )


def _compare(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("what", nargs="+", metavar="WHAT", help="L,a,b or id in the case; files with --pairs")
    parser.add_argument("--case", metavar="FILE", help="case that ids are looked up in")
    parser.add_argument("--specimens", action="store_true", help="WHAT are two specimens; compare zone by zone")
    parser.add_argument(
        "--ledger", action="store_true", help="WHAT are stations in order; say where the difference arose"
    )
    over = parser.add_mutually_exclusive_group()
    over.add_argument("--pairs", action="store_true", help="WHAT are archives; offsets between instruments")
    over.add_argument("--repeatability", action="store_true", help="WHAT are archives; scatter of each instrument")
    over.add_argument("--slips", action="store_true", help="WHAT are archives; readings that may have slipped")
    over.add_argument("--coverage", metavar="SET", help="WHAT are archives; how well a reference set covers them")
    parser.add_argument("--illuminant", choices=_known(Illuminant), default="D65", help="default: %(default)s")
    parser.add_argument("--observer", choices=_known(Observer), default="2-degree", help="default: %(default)s")
    parser.add_argument(
        "--under", action="append", default=[], choices=_known(Illuminant), help="other light, from spectra"
    )
    parser.add_argument(
        "--light", dest="lights", action="append", default=[], metavar="FILE", help="the same, of nm,power lines"
    )
    parser.add_argument(
        "--formula", choices=get_args(DifferenceFormula), default="CIEDE2000", help="default: %(default)s"
    )
    _adapting(parser)
    parser.add_argument("--factors", nargs=3, type=a_positive, default=(1, 1, 1), metavar="K", help="k_L k_C k_H")
    parser.add_argument(
        "--component",
        dest="components",
        action="append",
        default=[],
        type=a_component,
        metavar="SOURCE=U",
        help="standard uncertainty that repeats do not show",
    )
    parser.add_argument("--limit", type=a_positive, metavar="D", help="largest difference that conforms")
    parser.add_argument("--rule", choices=get_args(DecisionRule), default="simple", help="default: %(default)s")
    parser.add_argument("--question", choices=get_args(Question), default="match", help="default: %(default)s")
    parser.add_argument("--monte-carlo", dest="draws", type=a_count, metavar="N", help="draw N times (JCGM 101)")
    parser.add_argument("--seed", type=a_count, default=1, metavar="N", help="seed of the draws; default: %(default)s")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="json: one object a line")


def _adapting(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--adapt",
        choices=("CAT16", "Bradford"),
        help="estimate colours known for another light or observer; never judged",
    )
    for side in ("standard", "trial"):
        parser.add_argument(
            f"--{side}-basis",
            type=a_basis,
            metavar="LIGHT,OBSERVER",
            help=f"what a typed {side} is known for, as A,10-degree; needs --adapt",
        )


def _amend(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", metavar="CASE", help="case or bundle to add to, or -")
    parser.add_argument("additions", metavar="ADDITIONS", help='JSON object of lists of entries: {"readings": [...]}')
    parser.add_argument("--revision", required=True, metavar="ID", help="id of the new revision")
    parser.add_argument("--at", required=True, type=a_moment, metavar="TIME", help="when the entries are added")
    parser.add_argument("--party", metavar="ID", help="party that adds them")
    parser.add_argument("--note", metavar="TEXT", help="what changed and why")
    _output(parser, "amended case (standard output if left out)")


def _merge(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("first", metavar="FIRST", help="one version of a case")
    parser.add_argument("second", metavar="SECOND", help="another version of it")
    _output(parser, "merged case (standard output if left out)")


def _show(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", metavar="CASE", help="case, bundle, folder or *.ndjson to show, or -")
    parser.add_argument("--lines", action="store_true", help="every line of the files is a document (as in *.ndjson)")
    parser.add_argument("--html", metavar="FILE", help="write one self-contained page instead")
    parser.add_argument("--as-of", type=a_moment, metavar="DATE", help="moment that time-dependent rules run for")
    parser.add_argument("--force", action="store_true", help="replace FILE if it exists")


def _convert(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "source", metavar="SOURCE", help="foreign file, a folder of them, or -; with --to a case, or several"
    )
    parser.add_argument(
        "target",
        metavar="TARGET",
        nargs="?",
        help="*.shade.json for one case, *.shade.ndjson[.gz|.zst] for many, *.zip or FOLDER/ for a bundle, or -",
    )
    parser.add_argument("--to", choices=("case", *WRITTEN), default="case", help="what to write; default: %(default)s")
    parser.add_argument(
        "--to-version", choices=FORMAT_VERSIONS, help="restate a document in that version of the format"
    )
    parser.add_argument("--loss-report", metavar="FILE", help="where to write the loss report; - is standard output")
    parser.add_argument(
        "--propose-mapping",
        action="store_true",
        help="write to TARGET, or print, a mapping for the table or spreadsheet to confirm",
    )
    parser.add_argument("--strict", action="store_true", help="write nothing if something is lost that is not allowed")
    parser.add_argument("--keep-source", action="store_true", help="attach the foreign file to the case, with digest")
    parser.add_argument("--lines", action="store_true", help="one case a line, whatever the files are named")
    _losing(parser)
    _foreign(parser)
    parser.add_argument("--force", action="store_true", help="replace files that exist")


def _roundtrip(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("paths", nargs="+", metavar="FILE", help="case, bundle, folder or *.ndjson, or -")
    parser.add_argument("--via", choices=BOTH_WAYS, required=True, help="format to write and to read back")
    parser.add_argument("--mapping", metavar="FILE", help="table-mapping document; table, xlsx and ods need one")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="json: one object a case and line")
    parser.add_argument("--lines", action="store_true", help="every line of the files is a document (as in *.ndjson)")
    _losing(parser)


def _losing(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--full", action="store_true", help="list every instance, not the first of each path")
    parser.add_argument(
        "--allow-loss", action="append", default=[], metavar="CODE", help="loss to accept; `all` accepts every one"
    )


def _foreign(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--mapping", metavar="FILE", help="table-mapping document; a table needs one, read or written")
    parser.add_argument("--group", action="store_true", help="table: rows of one case need not be adjacent")
    parser.add_argument("--percent", action="store_true", help="CxF3, CGATS: spectra are in percent")
    parser.add_argument("--decimal-comma", action="store_true", help="CxF3, CGATS: numbers are written with a comma")
    parser.add_argument(
        "--tag",
        "--field",
        dest="tags",
        action="append",
        default=[],
        type=a_pair,
        metavar="MEMBER=NAME",
        help="take tooth, zone or specimen from the tag (CxF3) or field (CGATS) of that name",
    )
    parser.add_argument("--notation", choices=("iso-3950",), help="CxF3, CGATS: notation of teeth")
    parser.add_argument("--own-fields", action="store_true", help="CxF3, CGATS: the file was written by shadefmt")


def _demo(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="DIR", help="new folder for what the demo makes")
    parser.add_argument("--force", action="store_true", help="replace files that exist")


def _output(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument("-o", "--output", metavar="FILE", default="-", help=what)
    parser.add_argument("--force", action="store_true", help="replace FILE if it exists")


_OPTIONS: Final[dict[str, Callable[[argparse.ArgumentParser], None]]] = {
    "check": _check,
    "convert": _convert,
    "roundtrip": _roundtrip,
    "derive": _derive,
    "compare": _compare,
    "amend": _amend,
    "merge": _merge,
    "show": _show,
    "explain": _explain,
    "schema": _schema,
    "demo": _demo,
}


def a_basis(text: str) -> tuple[str, str]:
    """Read `LIGHT,OBSERVER`."""
    light, _, observer = text.partition(",")
    if light not in _known(Illuminant) or observer not in _known(Observer):
        raise argparse.ArgumentTypeError(f"{text!r} is not an illuminant and an observer such as A,10-degree")
    return light, observer


def _known(words: object) -> tuple[str, ...]:
    return tuple(each for each in get_args(words) if each != "unknown")


def a_moment(text: str) -> str:
    """Return a date or time as the format writes it; anything else is wrong use."""
    if moment(text) is None:
        raise argparse.ArgumentTypeError(f"{text!r} is no date such as 2026-04-30 or 2026-04-30T09:00:00+02:00")
    return text


def a_count(text: str) -> int:
    """Return a whole number of zero or more."""
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise argparse.ArgumentTypeError(f"{text!r} is no whole number")
    return int(text)


def a_positive(text: str) -> float:
    """Return a number above zero."""
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value < 1e6:
        raise argparse.ArgumentTypeError(f"{text!r} is no number above zero")
    return value


def a_pair(text: str) -> tuple[str, str]:
    """Return the two sides of NAME=VALUE."""
    name, sign, value = text.partition("=")
    if not (sign and name and value):
        raise argparse.ArgumentTypeError(f"{text!r} is not of the form NAME=VALUE")
    return name, value


def a_component(text: str) -> tuple[str, float]:
    """Return source and standard uncertainty of SOURCE=U."""
    source, value = a_pair(text)
    if source not in get_args(UncertaintySource):
        raise argparse.ArgumentTypeError(f"{source!r} is none of {', '.join(get_args(UncertaintySource))}")
    try:
        size = float(value)
    except ValueError:
        size = -1.0
    if not 0 <= size < 1e6:
        raise argparse.ArgumentTypeError(f"{value!r} is no standard uncertainty of zero or more")
    return source, size
