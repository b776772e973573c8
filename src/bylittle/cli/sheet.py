"""`bylittle sheet print` and `bylittle sheet read`: the log sheet out on paper and back from a photograph."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bylittle.core.faults import Fault, ManyFaults

PRINT_HELP = """\
Print the log sheet of a plan as a PDF that a family marks by hand.

  bylittle sheet print --plan PLAN.json --paper a4 --pdf sheet.pdf --map sheet.json

The map says where each bubble stands (millimetres from the page's top left) and what it means.
"""
READ_HELP = """\
Read photographs or scans of log sheets (JPEG, PNG, WebP, HEIC, PDF).

  bylittle sheet read --json photo1.jpg photo2.jpg

Each bubble is marked, blank or doubtful; a photograph that cannot be trusted is refused with what to do.
So is a file that cannot be opened; only where none can be does the program say that it could not run.
The sheet's own number carries its layout, so neither the plan nor a record is needed.
"""


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `sheet` with its two parts to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "sheet",
        help="print a log sheet, or read photographs of one",
        description="The log sheet: out on paper, and back from a photograph.",
    )
    parts = parser.add_subparsers(dest="part", required=True, metavar="print|read")
    plain = argparse.RawDescriptionHelpFormatter
    out = parts.add_parser(
        "print", help="make the PDF of a plan's log sheet", description=PRINT_HELP, formatter_class=plain
    )
    out.add_argument("--plan", required=True, type=Path, metavar="PLAN.json", help="the plan to print")
    out.add_argument("--paper", required=True, choices=("a4", "letter"), help="the paper in the printer")
    out.add_argument("--pdf", required=True, type=Path, metavar="OUT.pdf", help="where the PDF goes")
    out.add_argument("--map", type=Path, metavar="OUT.json", help="where the map of the bubbles goes")
    out.add_argument("--json", action="store_true", help="say the outcome as JSON")
    back = parts.add_parser(
        "read", help="read photographs of log sheets", description=READ_HELP, formatter_class=plain
    )
    back.add_argument("photos", nargs="+", metavar="PHOTO", help="picture or PDF files")
    back.add_argument("--json", action="store_true", help="one JSON list, a value for each page seen")
    return parser


def run(args: argparse.Namespace) -> int:
    """Do what `args` asks. 0: said what it had to say; 2: it could not run."""
    work = _print if args.part == "print" else _read
    try:
        return work(args)
    except (Fault, OSError, UnicodeDecodeError) as problem:
        return _tell(args, problem)


def _print(args: argparse.Namespace) -> int:
    from bylittle.core.sheet.shape import PAPERS
    from bylittle.files.plan_json import read_plan
    from bylittle.files.sheet_map import sheet_map
    from bylittle.library.wording.sheet import SHEET_WORDS
    from bylittle.printing.log_sheet import print_log_sheet, tongue
    from bylittle.printing.press import press

    plan = read_plan(args.plan.read_text("utf-8-sig"), sheet=True)
    _check_languages(plan.language, plan.second_language, tuple(SHEET_WORDS))
    two = plan.second_language not in (None, plan.language)
    second = tongue(str(plan.second_language)) if two else None
    printed = print_log_sheet(plan, PAPERS[args.paper], press(), tongue(plan.language), second)
    told = sheet_map(plan, printed.ids)
    if args.map:
        args.map.write_text(json.dumps(told, ensure_ascii=False, indent=1) + "\n", "utf-8")
    args.pdf.write_bytes(printed.pdf)
    if args.json:
        print(json.dumps({"sheet": told["sheet"], "pages": len(printed.ids), "pdf": str(args.pdf)}))
    else:
        print(f"Wrote {args.pdf}: sheet {told['sheet']}, {len(printed.ids)} page(s) on {args.paper}.")
    return 0


def _check_languages(first: str, second: str | None, known: Sequence[str]) -> None:
    from bylittle.core.faults import BadValue

    for name, code in (("language", first), ("second_language", second)):
        if code is not None and code not in known:
            raise BadValue("language_without_words", name=name, value=code, allowed=tuple(known))


def _read(args: argparse.Namespace) -> int:
    """Tell of every photograph; a file that cannot be opened is told like a refused one."""
    told: list[Any] = []
    closed: list[OSError] = []
    for name in args.photos:
        try:
            told += _told_of(name, args.json)
        except OSError as problem:
            closed.append(problem)
            told.append(_not_opened(name, problem, args.json))
    if len(closed) == len(args.photos):
        return _nothing_opened(args, closed)
    print(json.dumps(told, ensure_ascii=False) if args.json else "\n".join(told))
    return 0


def _told_of(name: str, in_json: bool) -> list[Any]:
    """What was read of one file, told at once so that no picture is held longer than needed."""
    from bylittle.reading.result import as_json, in_words
    from bylittle.reading.upload import read_file

    tell = as_json if in_json else in_words
    return [tell(result) for result in read_file(Path(name))]


def _not_opened(name: str, problem: OSError, in_json: bool) -> Any:
    why = " ".join(_sentences(problem))
    if not in_json:
        return f"{name}: refused. {why}"
    nothing: dict[str, Any] = {"sheet": None, "page": None, "result": "refused"}
    return {"photo": name, **nothing, "why": why, "marks": [], "conflicts": []}


def _nothing_opened(args: argparse.Namespace, problems: Sequence[OSError]) -> int:
    told = [_sentences(problem) for problem in problems]
    mends = dict.fromkeys(mend for _, mend in told)  # the same advice is given once
    return _say(args, " ".join(fault for fault, _ in told), " ".join(mends))


def _tell(args: argparse.Namespace, problem: Exception) -> int:
    return _say(args, *_sentences(problem))


def _say(args: argparse.Namespace, fault: str, mend: str) -> int:
    if args.json:
        print(json.dumps({"fault": fault, "mend": mend}, ensure_ascii=False))
    else:
        print(fault, mend, sep="\n", file=sys.stderr)
    return 2


def _sentences(problem: Exception) -> tuple[str, str]:
    from bylittle.library.wording.sheet import fault_words

    if isinstance(problem, ManyFaults):
        told = [fault_words(fault) for fault in problem.faults]
        mends = dict.fromkeys(mend for _, mend in told)  # the same advice is given once
        return " ".join(fault for fault, _ in told), " ".join(mends)
    if isinstance(problem, Fault):
        return fault_words(problem)
    if isinstance(problem, UnicodeDecodeError):
        return "The plan is not UTF-8 text.", "Save it as UTF-8."
    name = getattr(problem, "filename", None)
    return f"{name}: {getattr(problem, 'strerror', problem)}.", "Check the file's name and place."
