"""`bylittle restore`: a backup into a directory of its own."""

from __future__ import annotations

import argparse
import shutil
import tempfile
from pathlib import Path
from typing import Any

from bylittle.cli import sealed
from bylittle.cli.backup import add_key, embedded_only
from bylittle.cli.telling import RAN, CannotRun, say_json

ABOUT = """\
Write the records and files of a backup into a directory that is not there yet, or is empty.

  BYLITTLE_BACKUP_KEY=... bylittle restore tern-bay-2026-11-25.backup --data ./data
  bylittle verify --data ./data

With another key, or where a single byte of the backup has changed, nothing is written.
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `restore` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "restore",
        help="write a backup's records and files into an empty directory",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("backup", type=Path, metavar="IN", help="the backup")
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records shall be")
    add_key(parser)
    return parser


def run(args: argparse.Namespace) -> int:
    """Restore. 0: written; 2: it could not run, and nothing was written."""
    from bylittle.files.backup import unpack

    embedded_only()
    data = args.data.resolve()
    if data.exists() and not (data.is_dir() and not any(data.iterdir())):
        raise CannotRun("restore_not_empty", name=str(args.data))
    key = sealed.key_of(args.key_file)
    with sealed.opened(args.backup, key) as content:
        data.parent.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=".restore-", dir=data.parent))
        try:
            files, made = unpack(content, aside)
            if data.exists():
                data.rmdir()
            aside.rename(data)
        finally:
            shutil.rmtree(aside, ignore_errors=True)
    if args.json:
        say_json({"data": str(args.data), "files": files, "made": made.isoformat()})
    else:
        print(f"Restored into {args.data}: {files} files, as they stood on {made:%-d %b %Y at %H:%M}.")
    return RAN
