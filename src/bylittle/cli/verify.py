"""`bylittle verify`: is the record whole?"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from bylittle.cli.telling import FOUND, RAN, say_json

ABOUT = """\
Look whether the record is whole, and change nothing.

  bylittle verify --data ./data

Looked at: the database's own pages and indexes; every correction against the mark that it is about; the
steps, plans and reports that are signed; the sheets against the record; every kept picture. It can run while
the program does. The record holds no digest of its rows: a value that was changed with other tools, and that
still fits everything else, is not found.

exit code 0: whole; 1: damaged, with where; 2: it could not run
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `verify` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "verify",
        help="look whether the record is whole",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("--json", action="store_true", help="one JSON value instead of lines")
    return parser


def run(args: argparse.Namespace) -> int:
    """Verify. 0: whole; 1: damaged."""
    from bylittle.web.records import damage

    looked_at, found = damage(args.data)
    if args.json:
        told = [{"where": where, "what": what} for where, what in found]
        say_json({"whole": not found, "looked_at": looked_at, "damage": told})
    elif found:
        print("The record is damaged:", *(f"  {where}: {what}" for where, what in found), sep="\n")
        print("Nothing was changed. Keep a copy of the directory as it is, then restore the last backup.")
    else:
        print(f"The record is whole: {', '.join(f'{count} {name}' for name, count in looked_at.items())}.")
    return FOUND if found else RAN
