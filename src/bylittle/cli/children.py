"""`bylittle children`: who is in the records, with their skills and plans."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from bylittle.cli.telling import RAN, say_json

ABOUT = """\
List the children in the records: the number of each child, skill and plan that other verbs ask for.

  bylittle children --data ./data
  bylittle children --data ./data --json
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `children` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "children",
        help="list the children in the records, with their skills and plans",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("--json", action="store_true", help="one JSON list instead of lines")
    return parser


def run(args: argparse.Namespace) -> int:
    """List the children. 0: said what it had to say."""
    from bylittle.web.records import children

    found: list[dict[str, Any]] = children(args.data)
    if args.json:
        say_json(found)
        return RAN
    for child in found:
        print(f"{child['id']}  {child['name']}")
        for skill in child["skills"]:
            plan = f"plan {skill['plan']}, version {skill['version']}" if skill["plan"] else "no plan yet"
            print(f"    {skill['id']}  {skill['name']}  ({plan})")
    return RAN
