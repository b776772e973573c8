"""How long a report with 26 weeks of data takes, from the record to the finished PDF and DOCX."""

from __future__ import annotations

import statistics
import time
from datetime import date

import numpy as np

from bylittle.demo.child_record import long_record
from bylittle.library.wording.reports import KINDS
from bylittle.printing.report import report_pdf
from bylittle.printing.report_docx import report_docx
from bylittle.workflows.report import draft_report

PROMISED_SECONDS = 1.0
TODAY, WEEKS, ROUNDS = date(2026, 11, 25), 26, 5


def main() -> int:
    """Print the first time and the median of five for each kind; 1 where the slowest misses the promise."""
    record = long_record(TODAY, np.random.default_rng(26), WEEKS)
    print(f"{len(record.skills[0].practice)} marks in {WEEKS} weeks; seconds to PDF and DOCX together")
    worst = 0.0
    for kind in KINDS:
        times = [seconds(record, kind) for _ in range(ROUNDS)]
        worst = max(worst, times[0], statistics.median(times))
        print(f"{kind:15} first {times[0]:.3f}  median {statistics.median(times):.3f}")
    print(f"slowest {worst:.3f} s (promised: under {PROMISED_SECONDS} s)")
    return int(worst >= PROMISED_SECONDS)


def seconds(record: object, kind: str) -> float:
    """One report of one kind, as PDF and as DOCX."""
    start = time.perf_counter()
    draft = draft_report(record, kind, TODAY)  # type: ignore[arg-type]
    report_pdf(draft)
    report_docx(draft)
    return time.perf_counter() - start


if __name__ == "__main__":
    raise SystemExit(main())
