"""`bylittle export`: everything of one child in a form that other programs read."""

from __future__ import annotations

import argparse
import secrets
import string
from datetime import datetime
from pathlib import Path
from typing import Any

from bylittle.cli.telling import RAN, say_json

FORMS = ("fhir", "csv", "archive", "deidentified")
ABOUT = """\
Write the record of one child to a file.

  fhir          FHIR R4 (4.0.1) bundle: Patient with first name and birthday, Goal, CarePlan, Observation
  csv           single-case data, one line a mark: case, phase, time, value, step, prompt, observer, source
  archive       everything of the child with its pictures, to be taken into other records without loss
  deidentified  for sharing: day numbers for dates, numbers for people and places, no free text, a random id

  bylittle export --data ./data --child 3 --as archive --out wren.zip
  bylittle export --data ./data --child 3 --as deidentified --out shared.json

All forms but the last hold what tells who the child is. Keep and send them as your local rules ask.
"""
LETTERS = string.ascii_uppercase + string.digits
ID_LENGTH = 12


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `export` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "export",
        help="write the record of one child to a file: FHIR, CSV, archive, de-identified",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("--child", required=True, metavar="ID", help="the child")
    parser.add_argument("--as", required=True, dest="form", choices=FORMS, help="the form of the file")
    parser.add_argument("--out", required=True, type=Path, metavar="FILE", help="the file to write")
    parser.add_argument("--json", action="store_true", help="one JSON value instead of a line")
    return parser


def run(args: argparse.Namespace) -> int:
    """Export. 0: written; a child or directory that is not there is told as 2."""
    from bylittle.web.records import child_record
    from bylittle.workflows.export import export_record

    record = child_record(args.data, args.child, files=args.form == "archive")
    today = datetime.now().astimezone().date()
    random_id = "".join(secrets.choice(LETTERS) for _ in range(ID_LENGTH))
    written = export_record(record, args.form, today, random_id)
    args.out.write_bytes(written)
    if args.json:
        say_json({"out": str(args.out), "as": args.form, "bytes": len(written)})
    else:
        print(f"Written: {args.out} ({args.form}, {len(written)} bytes).")
    return RAN
