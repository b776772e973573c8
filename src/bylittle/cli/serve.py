"""`bylittle serve`: open the web application on your own records."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from bylittle.cli.ports import port

ABOUT = """\
Open the web application on your own records. On an empty directory it prints a link, good for one use,
that makes the first account. The records stay in the directory; nothing is sent anywhere.

  bylittle serve
  bylittle serve --data ./data --port 8080
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `serve` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "serve",
        help="open the web application on your own records",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    here = Path("data")
    parser.add_argument(
        "--data", type=Path, default=here, metavar="DIR", help="where the records are (./data)"
    )
    parser.add_argument("--port", type=port, default=8000, metavar="N", help="the port to answer on (8000)")
    return parser


def run(args: argparse.Namespace) -> int:
    """Serve until stopped; the exit code."""
    from bylittle.web.serve import run as serve

    return int(serve(args.data, args.port, demo=False))
