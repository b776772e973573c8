"""`bylittle backup`: all records and kept files as one encrypted file."""

from __future__ import annotations

import argparse
import os
from datetime import datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from bylittle.cli import sealed
from bylittle.cli.telling import RAN, CannotRun, say_json

ABOUT = """\
Write all records and kept files of a data directory into one encrypted file. The program may go on running.

  BYLITTLE_BACKUP_KEY=... bylittle backup --data ./data tern-bay-2026-11-25.backup
  bylittle backup --data ./data --key-file backup.key tern-bay-2026-11-25.backup

The key is a text of eight characters or more; a long one from a password keeper is best. Keep it apart from
the backup: without it nobody can open the file. Records in PostgreSQL are backed up with PostgreSQL's own
tools.
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `backup` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "backup",
        help="write all records and kept files into one encrypted file",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("out", type=Path, metavar="OUT", help="the file to write, outside DIR")
    add_key(parser)
    return parser


def add_key(parser: argparse.ArgumentParser) -> None:
    """Where the key comes from, and JSON."""
    told = f"a file that holds the key; without it {sealed.KEY_VARIABLE} does"
    parser.add_argument("--key-file", type=Path, metavar="FILE", help=told)
    parser.add_argument("--json", action="store_true", help="one JSON value instead of a line")


def run(args: argparse.Namespace) -> int:
    """Back up. 0: written; 2: it could not run, and nothing was written."""
    from bylittle.files.backup import pack

    key = sealed.key_of(args.key_file)
    _check(args.data, args.out)
    made = datetime.now().astimezone()

    def write(out: sealed.Writing) -> int:
        return pack(args.data, out, made, version("bylittle"))

    files = sealed.seal(args.out, key, write)
    size = args.out.stat().st_size
    if args.json:
        say_json({"out": str(args.out), "files": files, "bytes": size, "made": made.isoformat()})
    else:
        print(f"Written: {args.out} ({files} files, {size} bytes, encrypted). Keep the key apart from it.")
    return RAN


def embedded_only() -> None:
    """CannotRun where the records are in PostgreSQL."""
    if os.environ.get("DATABASE_URL"):
        raise CannotRun("backup_of_postgresql")


def _check(data: Path, out: Path) -> None:
    from bylittle.files.backup import DATABASE

    embedded_only()
    if not (data / DATABASE).is_file():
        raise CannotRun("no_records", value=str(data))
    if out.resolve().is_relative_to(data.resolve()):
        raise CannotRun("backup_inside", name=str(out))
    if out.exists() and not (out.is_file() and sealed.is_sealed(out)):
        raise CannotRun("backup_would_replace", name=str(out))
