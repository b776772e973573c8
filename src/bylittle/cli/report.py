"""`bylittle report`: a report draft of one child as PDF or DOCX."""

from __future__ import annotations

import argparse
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bylittle.cli.telling import RAN, say_json
from bylittle.core.faults import BadValue

if TYPE_CHECKING:
    from bylittle.core.evidence.record_facts import Period
    from bylittle.library.wording.reports import Report

KINDS = ("progress-note", "ifsp-review", "iep-progress", "family-letter", "discharge", "handover")
ABOUT = """\
Write a report draft about one child, PDF or DOCX by the file's ending. Facts come from the record, each with
what it rests on; what needs judgement is left for the therapist to write. Every page says DRAFT: signing is
done in the browser, after reading and editing.

  progress-note  the last two weeks as a SOAP note, with visits and minutes
  ifsp-review    six months: outcome, what was done, progress with graph
  iep-progress   a quarter: goal, how it is measured, where it stands
  family-letter  four weeks in plain words
  discharge      what was learned, what works, carry-over, when to come back
  handover       what the next therapist needs to know

  bylittle report --data ./data --child 3 --kind ifsp-review --out review.pdf
  bylittle report --data ./data --child 3 --kind progress-note --from 2026-11-01 --out note.docx
"""
ENDINGS = (".pdf", ".docx")


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `report` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "report",
        help="write a report draft about one child, PDF or DOCX",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--data", required=True, type=Path, metavar="DIR", help="where the records are")
    parser.add_argument("--child", required=True, metavar="ID", help="the child")
    parser.add_argument("--kind", required=True, choices=KINDS, help="which report")
    parser.add_argument("--out", required=True, type=Path, metavar="FILE", help="the file: .pdf or .docx")
    parser.add_argument("--skill", action="append", default=[], metavar="ID", help="only this skill")
    parser.add_argument("--from", dest="first", metavar="DATE", help="first day of the period")
    parser.add_argument("--to", dest="last", metavar="DATE", help="last day of the period (today)")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4")
    parser.add_argument("--json", action="store_true", help="one JSON value instead of a line")
    return parser


def run(args: argparse.Namespace) -> int:
    """Report. 0: written; what is not there or not permitted is told as 2, before anything is written."""
    ending = args.out.suffix.casefold()
    if ending not in ENDINGS:
        raise BadValue("not_one_of", name="out", value=str(args.out), allowed=ENDINGS)
    today = datetime.now().astimezone().date()
    first, last = _day(args.first, "from"), _day(args.last, "to")

    from bylittle.web.records import child_record
    from bylittle.workflows.report import draft_report

    record = child_record(args.data, args.child)
    period = _period(first, last, args.kind, today)
    report = draft_report(record, args.kind, today, period=period, skills=args.skill)
    args.out.write_bytes(_printed(report, ending, args.paper))
    if args.json:
        say_json({"out": str(args.out), "kind": args.kind, "draft": not report.signed})
    else:
        print(f"Written: {args.out} ({report.title}, a draft to edit and sign).")
    return RAN


def _printed(report: Report, ending: str, paper: Any) -> bytes:
    if ending == ".pdf":
        from bylittle.printing.report import report_pdf

        return report_pdf(report, paper=paper)
    from bylittle.printing.report_docx import report_docx

    return report_docx(report, paper=paper)


def _period(first: date | None, last: date | None, kind: str, today: date) -> Period | None:
    """The period asked for; None leaves it to the kind. With one end alone the other is the kind's own."""
    if first is None and last is None:
        return None
    from bylittle.workflows.report import period_of

    return period_of(kind, first, last or today)


def _day(told: str | None, name: str) -> date | None:
    if told is None:
        return None
    try:
        return date.fromisoformat(told)
    except ValueError:
        raise BadValue("not_a_date", name=name, value=told, allowed="2026-11-30") from None
