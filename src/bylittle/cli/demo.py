"""`bylittle demo`: open the web application with the demo caseload."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from bylittle.cli.ports import port

ABOUT = """\
Open the web application with an invented caseload of nine children, dated from today. The people, and the
password of the three users, are printed; a second start keeps what was changed.

  bylittle demo
  bylittle demo --data ./data --port 8080
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `demo` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "demo",
        help="open the web application with the demo caseload",
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

    return int(serve(args.data, args.port, demo=True))
