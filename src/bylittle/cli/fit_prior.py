"""`bylittle fit-prior`: a prior from the service's own logs."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bylittle.cli.telling import RAN, CannotRun, say_json

if TYPE_CHECKING:
    from bylittle.core.learning.fitting import ChildLog

ABOUT = """\
Fit what the tool believes before a child's first turn on the children of your own service: 20 children with
20 turns or more. Smaller services keep the shipped prior. Nothing about a single child is written down.

  bylittle fit-prior --data ./data
  bylittle fit-prior logs/*.csv --out prior.json
  bylittle fit-prior logs/*.csv --out prior.json --cluster tcp://10.0.0.5:8786

With --data the records are read, the longest log of each child, and the prior goes to prior.json there, from
where the browser's advice takes it; one that was there is kept as prior-before.json. With files, one child
each, `bylittle advise --prior prior.json` uses it. The report says how far it moved: 0 not at all, 1 fully.
"""
BEFORE = "prior-before.json"


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `fit-prior` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "fit-prior",
        help="fit the starting belief on your own service's children",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("logs", nargs="*", type=Path, metavar="LOG.csv", help="practice logs, one child each")
    parser.add_argument("--data", type=Path, metavar="DIR", help="the records of a service, instead of logs")
    parser.add_argument("--out", type=Path, metavar="PRIOR.json", help="where it goes (DIR/prior.json)")
    parser.add_argument("--processes", type=int, default=2, help="processes on this computer (2)")
    parser.add_argument("--cluster", default="", metavar="ADDRESS", help="a Dask scheduler to use")
    parser.add_argument("--json", action="store_true", help="the report as one JSON value")
    return parser


def run(args: argparse.Namespace) -> int:
    """Fit, write the prior, report. 0: done; too few logs are a fault, told as 2, and nothing is written."""
    from bylittle.workflows.fit_prior import fit, prior_text

    out, logs = _out(args), _logs(args)
    fitted = fit(logs, args.processes, args.cluster)
    before = _kept(out)
    out.write_text(prior_text(fitted), encoding="utf-8")
    report = {
        "children": fitted.children,
        "left_out": fitted.left_out,
        "moved": {"help": fitted.moved_shapes, "gain": fitted.moved_gains, "start": fitted.moved_starts},
        "evidence_a_child": {"before": fitted.evidence_before, "after": fitted.evidence_after},
        "prior": str(out),
        "kept": str(before) if before else None,
    }
    if args.json:
        say_json(report)
    else:
        _say(report)
    return RAN


def _out(args: argparse.Namespace) -> Path:
    """Where the prior goes; a fault where neither logs nor records, or both, are given."""
    from bylittle.workflows.fit_prior import FILE

    if bool(args.logs) == bool(args.data):
        raise CannotRun("fit_from_what")
    if args.out is None and args.data is None:
        raise CannotRun("fit_to_where")
    out: Path = args.out or args.data / FILE
    return out


def _kept(out: Path) -> Path | None:
    """The prior that was there, under another name beside it."""
    if not out.is_file():
        return None
    return out.replace(out.with_name(BEFORE))


def _logs(args: argparse.Namespace) -> list[ChildLog]:
    if args.data is None:
        return [_log(path) for path in args.logs]
    from bylittle.web.records import child_logs

    found: list[ChildLog] = child_logs(args.data)
    return found


def _log(path: Path) -> ChildLog:
    from bylittle.core.practice.log import PracticeLog
    from bylittle.files.practice_csv import read_log
    from bylittle.workflows.fit_prior import child_log

    file = read_log(path.read_bytes())
    return child_log(PracticeLog.of(file.entries), file.version, file.ladder)


def _say(report: dict[str, Any]) -> None:
    moved, evidence = report["moved"], report["evidence_a_child"]
    print(f"Fitted on {report['children']} children; {report['left_out']} more had too few turns.")
    print(f"Moved: help {moved['help']:.2f}, gain {moved['gain']:.2f}, start {moved['start']:.2f} (0 to 1).")
    print(f"Log evidence a child: {evidence['before']:.2f} before, {evidence['after']:.2f} after.")
    if report["kept"]:
        print(f"The one before is kept as {report['kept']}.")
    print(f"Written to {report['prior']}. Use it only for children like these; look at it again each year.")
