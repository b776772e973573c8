"""A report as a tagged PDF in the notebook's look; an unsigned one says DRAFT on every page."""

from __future__ import annotations

from typing import Any

from bylittle.library.wording.reports import Grid, Report, Section, page_words, reference_words
from bylittle.printing.press import Press, press
from bylittle.printing.setting import Paper

THERAPIST_PT, LETTER_PT = 10.5, 14.0
ROOM_LINES, LETTER_ROOM = 3, 2
NARROW = 12
"""A column whose longest cell is no longer than this many letters takes the room it needs."""


def report_pdf(report: Report, *, paper: Paper = "a4", with_press: Press | None = None) -> bytes:
    """The PDF. UnprintablePage where a sign has no glyph. The same report gives the same bytes."""
    return (with_press or press()).print("report.typ", report_data(report, paper))


def report_data(report: Report, paper: Paper = "a4") -> dict[str, Any]:
    """What the template sets, as JSON data."""
    words = page_words(report)
    return {
        "title": report.title,
        "author": report.signed_by or report.service,
        "lang": report.language,
        "paper": paper,
        "size": LETTER_PT if report.for_family else THERAPIST_PT,
        "family": report.for_family,
        "draft": not report.signed,
        "top": words["made"] if report.for_family else report.service,
        "child": report.child,
        "foot": " · ".join(part for part in (report.service, report.child, report.title) if part),
        "words": words,
        "sections": [_section(section, report, words) for section in shown(report)],
    }


def shown(report: Report) -> tuple[Section, ...]:
    """The sections to print: in a signed report an optional section without words is left out."""
    return tuple(
        s for s in report.sections if not (report.signed and s.ask and not s.written and not s.lines)
    )


def _section(section: Section, report: Report, words: dict[str, str]) -> dict[str, Any]:
    asks = bool(section.ask) and not (report.signed and not section.written)
    label = words["yours"] if not section.written else words.get("opinion", "")
    return {
        "title": section.title,
        "lines": [
            {"text": line.text, "rests_on": reference_words(line.refers_to), "edited": line.edited}
            for line in section.lines
        ],
        "grids": [_grid(grid) for grid in section.grids],
        "figures": [{"svg": f.svg, "alt": f"{f.title}. {f.about}"} for f in section.figures],
        "label": label if asks else "",
        "ask": section.ask,
        "written": [part.strip() for part in section.written.split("\n") if part.strip()],
        "room": LETTER_ROOM if report.for_family else ROOM_LINES,
    }


def _grid(grid: Grid) -> dict[str, Any]:
    columns = list(zip(grid.head, *grid.rows, strict=True))
    longest = [max(map(len, column)) for column in columns]
    return {
        "title": grid.title,
        "head": [cell or " " for cell in grid.head],
        "rows": [list(row) for row in grid.rows],
        "widths": [0 if length <= NARROW else min(length, 60) for length in longest],
    }
