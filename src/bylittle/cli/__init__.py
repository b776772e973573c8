"""The command line, one module a verb, loaded when asked for.

Exit codes: 0 it ran and said what it had to say; 1 it found what it was asked to look for (damage, faults
in a file; nothing was changed); 2 it could not run.
"""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence
from types import MappingProxyType
from typing import NoReturn

from bylittle.cli.telling import COULD_NOT_RUN, RAN, say_fault, words_of

VERBS = MappingProxyType(
    {
        "demo": ("demo", "open the web application with the demo caseload"),
        "serve": ("serve", "open the web application on your own records"),
        "advise": ("advise", "say from a practice log what is likely and what to ask next"),
        "sheet": ("sheet", "print a log sheet, or read photographs of one"),
        "children": ("children", "list the children in the records, with their skills and plans"),
        "import": ("import_", "take a practice log into the records"),
        "report": ("report", "write a report draft about one child, PDF or DOCX"),
        "export": ("export", "write the record of one child to a file"),
        "verify": ("verify", "look whether the record is whole"),
        "backup": ("backup", "write all records and kept files into one encrypted file"),
        "restore": ("restore", "write a backup's records and files into an empty directory"),
        "fit-prior": ("fit_prior", "fit what is expected of a new child to the service's own logs"),
    }
)
DESCRIPTION = """\
Carries one skill that a child wants and finds hard from "someone does it for me" to "I do it alone".
The tool advises; a licensed therapist decides.
"""
EPILOG = """\
begin with
  bylittle demo                                 look around with nine invented children
  bylittle advise --log LOG.csv                 advice from a practice log, without any records
  bylittle VERB --help                          what a verb does, with an example

exit codes
  0  it ran and said what it had to say
  1  it found what it was asked to look for: damage, or faults in a file; nothing was changed
  2  it could not run
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code. With --json the standard output is one JSON value in every case."""
    given = list(sys.argv[1:] if argv is None else argv)
    as_json = "--json" in given
    try:
        return _run(given, as_json)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else COULD_NOT_RUN
    except BrokenPipeError:  # whoever read our output has had enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return RAN
    except Exception as problem:
        return say_fault(*words_of(problem), as_json=as_json)


def _run(given: list[str], as_json: bool) -> int:
    chosen = next((word for word in given if not word.startswith("-")), None)
    parser = _parser(chosen, as_json)
    if not given:
        parser.print_help(sys.stderr)
        return COULD_NOT_RUN
    args = parser.parse_args(given)
    run = importlib.import_module(f"bylittle.cli.{VERBS[args.verb][0]}").run
    return int(run(args))


def _parser(chosen: str | None, as_json: bool) -> argparse.ArgumentParser:
    """The main parser. Only the chosen verb is loaded and adds its arguments; the others are named."""
    kind = _JsonParser if as_json else argparse.ArgumentParser
    plain = argparse.RawDescriptionHelpFormatter
    parser = kind(prog="bylittle", description=DESCRIPTION, epilog=EPILOG, formatter_class=plain)
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB", parser_class=kind)
    for verb, (module, what) in VERBS.items():
        if verb == chosen:
            importlib.import_module(f"bylittle.cli.{module}").add_parser(verbs)
        else:
            verbs.add_parser(verb, help=what)
    return parser


class _JsonParser(argparse.ArgumentParser):
    """Tells a wrong call as JSON on the standard output."""

    def error(self, message: str) -> NoReturn:
        fault, mend = f"{message[:1].upper()}{message[1:]}.", f"See: {self.prog} --help"
        raise SystemExit(say_fault(fault, mend, as_json=True))
