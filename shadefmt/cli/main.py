"""`shadefmt`: one module a verb, loaded when the verb is used."""

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Final

from shadefmt.cli.arguments import add
from shadefmt.cli.speaking import say
from shadefmt.errors import CannotRead, Refused, ShadefmtError
from shadefmt.versions import FORMAT_VERSION, tool_version

VERBS: Final = {
    "check": "say whether documents can be trusted, and what speaks against it",
    "convert": "turn a foreign file into cases, with an account of what became of it",
    "roundtrip": "take cases through a foreign format and back, and list what came back otherwise",
    "derive": "complete a case: colours, means, nearest references, differences, verdicts",
    "compare": "compare colours, entries, specimens; say where a difference arose; relate instruments",
    "amend": "add a revision to a case",
    "merge": "unite two versions of a case, or say what stands against it",
    "show": "show a case to a person",
    "explain": "say what a finding means and what to do",
    "schema": "print the JSON Schema of a kind of document",
    "demo": "run the whole job on invented data",
}
"""Verbs in the order of the help, each with its line there."""

EXIT_MEANINGS: Final = """\
exit codes:
  0  sound (check), accepted (check --profile), nothing lost (convert, roundtrip), done
  1  faulty or refused (check, also when part was not looked at), something lost (convert, roundtrip)
  2  wrong use: an option, a faulty mapping, profile or waiver list, a target that exists
  3  could not look, or not at all of it; undecided (check --profile)

This program informs licensed professionals. It is not a medical device; makers' instructions, infection
control and local rules come first."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Prints one line for whatever went wrong, never a traceback."""
    parser = command_parser()
    given = parser.parse_args(arguments)
    if given.verb is None:
        parser.print_help()
        return 2
    if sys.stdout is None:
        return _say("standard output is closed. Give it a place to write to", 2)
    try:
        code: int = import_module(f"shadefmt.cli.{given.verb}").run(given)
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        _give_up_output()
        return 0
    except (CannotRead, Refused) as failure:
        return _say(failure, 3)
    except ShadefmtError as failure:
        return _say(failure, 2)
    except OSError as failure:
        _give_up_output()
        return _say(f"{failure.filename or 'standard output'}: {failure.strerror}. Nothing more was done", 2)
    except KeyboardInterrupt:
        return _say("stopped; nothing was half written", 130)


def entry() -> None:
    """Run the command of this process and exit with its code."""
    sys.exit(main())


def command_parser() -> argparse.ArgumentParser:
    """Return the parser of the program with those of its verbs."""
    parser = argparse.ArgumentParser(
        prog="shadefmt",
        description="The open record for tooth colour: check, convert, complete and show cases.",
        epilog=EXIT_MEANINGS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    version = f"shadefmt {tool_version()} (format {FORMAT_VERSION}, rule set {{}})"
    parser.add_argument("--version", action=_Version, text=version)
    verbs = parser.add_subparsers(dest="verb", metavar="COMMAND", title="commands")
    for verb, line in VERBS.items():
        added = verbs.add_parser(verb, help=line, description=line[0].upper() + line[1:] + ".", allow_abbrev=False)
        added.set_defaults(verb=verb)
        add(verb, added)
    return parser


class _Version(argparse.Action):
    """Prints the versions of tool, format and rule set; the last is read only when asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str, text: str) -> None:
        super().__init__(option_strings, dest, nargs=0, help="print the versions of tool, format and rules")
        self.text = text

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from shadefmt.catalogue import catalogue

        parser.exit(0, self.text.format(catalogue().rule_set) + "\n")


def _say(failure: object, code: int) -> int:
    say(f"shadefmt: {failure}")
    return code


def _give_up_output() -> None:
    """Let what is still buffered go nowhere, so that the interpreter does not complain when it leaves."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
