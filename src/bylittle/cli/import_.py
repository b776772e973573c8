"""`bylittle import`: a practice log or a child's archive into the records, the whole file or nothing."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bylittle.cli.telling import FOUND, RAN, CannotRun, line_place, line_words, say_json

if TYPE_CHECKING:
    from bylittle.workflows.import_log import ImportPlan

# How a zip file begins.
ARCHIVE_START = b"PK"

ABOUT = """\
Take a practice log into the records of one child. All or nothing: with any fault in the file, every fault
is told with its line, its column and how to mend it, and nothing is changed (exit code 1). Rows that are
already there are passed over, so the same file twice adds nothing.

  bylittle import log.csv --data ./data --child 3
  bylittle import log.csv --data ./data --child 3 --skill 5 --json

An archive (`bylittle export --as archive`) makes a child of her own, with all it holds; no --child then.

  bylittle import wren.zip --data ./data

`bylittle children --data ./data` lists the numbers; `bylittle advise --help` shows the form of the file.
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `import` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "import",
        help="take a practice log, or the archive of a child, into the records",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("log", type=Path, metavar="FILE", help="the practice log, or an archive")
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("--child", metavar="ID", help="the child that the log is about")
    parser.add_argument("--skill", metavar="ID", help="the skill, where the child has more than one")
    parser.add_argument("--json", action="store_true", help="one JSON value instead of lines")
    return parser


def run(args: argparse.Namespace) -> int:
    """Import. 0: taken in (or already there); 1: faults in the file, nothing was changed."""
    data = args.log.read_bytes()
    if data.startswith(ARCHIVE_START):
        return _take_archive(args, data)
    if args.child is None:
        raise CannotRun("child_needed")

    from bylittle.web.records import import_log

    done: ImportPlan = import_log(args.data, data, args.child, args.skill)
    if args.json:
        say_json(as_json(done))
    else:
        _say(done)
    return FOUND if done.faults else RAN


def _take_archive(args: argparse.Namespace, data: bytes) -> int:
    """A child of her own from an archive; CannotRun where `--child` or `--skill` asks for somebody there."""
    if args.child is not None or args.skill is not None:
        raise CannotRun("archive_is_a_child")

    from bylittle.web.records import import_archive

    done = import_archive(args.data, data)
    if args.json:
        say_json(done)
    else:
        print(f"{done['name']} is taken in as child {done['child']}, with everything the archive holds.")
        if not done["team"]:
            print("Nobody here is on her team yet: a lead adds the therapist in the browser.")
    return RAN


def as_json(done: ImportPlan) -> dict[str, Any]:
    """Rows added, rows that were there, and every fault with its place and mend."""
    faults = []
    for fault in done.faults:
        told, mend = line_words(fault)
        faults.append({"line": fault.line, "column": fault.column, "fault": told, "mend": mend})
    return {"added": len(done.new), "already": len(done.already), "faults": faults}


def _say(done: ImportPlan) -> None:
    for fault in done.faults:
        told, mend = line_words(fault)
        print(f"{line_place(fault)}{told} {mend}")
    if done.faults:
        print(f"Faults: {len(done.faults)}. Nothing was changed.")
    else:
        print(f"Rows added: {len(done.new)}. Rows already there: {len(done.already)}.")
