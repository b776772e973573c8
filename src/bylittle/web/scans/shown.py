"""A sheet as its page shows it: the straightened picture with what was read, and the rows to settle."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.ink import BubbleInk, Ink, by_row
from bylittle.web.scans import queries
from bylittle.web.scans.models import Scan
from bylittle.workflows.read_sheet import first_day

BLANK = "blank"
_AROUND = 0.022


@dataclass(frozen=True, slots=True)
class Spot:
    """A bubble on the picture, in its pixels, with what was read there."""

    x: float
    y: float
    r: float
    state: str
    name: str

    @property
    def left(self) -> float:
        return self.x - self.r

    @property
    def top(self) -> float:
        return self.y - self.r

    @property
    def side(self) -> float:
        return 2 * self.r


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer to a row: the bubble's id (or blank), its word, and the key that chooses it."""

    value: str
    word: str
    key: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class OpenRow:
    """A row to settle: which one, why, its crop (x y width height of the picture), the choices."""

    row: str
    title: str
    why: str
    crop: str
    choices: tuple[Choice, ...]


def spots(scan: Scan) -> list[Spot]:
    """Every bubble that is not clearly blank."""
    page = queries.page(scan)
    return [_spot(scan, ink) for ink in page.bubbles if ink.state is not Ink.BLANK]


def _spot(scan: Scan, ink: BubbleInk) -> Spot:
    x, y = scan.places[ink.bubble.id]
    return Spot(x * scan.width, y * scan.height, _AROUND * scan.width, ink.state.value, ink.bubble.id)


def open_rows(scan: Scan) -> list[OpenRow]:
    """The rows that a person must settle, in the order of the page."""
    if scan.plan is None:
        return []
    page, home = queries.page(scan), queries.home(scan.plan)
    rows = by_row(page.bubbles)
    return [_open_row(scan, row, rows[row], home) for row in page.open_rows]


def _open_row(scan: Scan, row: str, inks: list[BubbleInk], home: HomePlan) -> OpenRow:
    doubtful = any(ink.state is Ink.DOUBTFUL for ink in inks)
    said = scan.rows.get(row, "")
    values = [*((ink.bubble.id, _word(ink.bubble, home)) for ink in inks), (BLANK, "blank")]
    chosen = BLANK if row in scan.rows and said is None else said
    choices = tuple(
        Choice(value, word, "b" if value == BLANK else str(number), value == chosen)
        for number, (value, word) in enumerate(values, start=1)
    )
    why = "one mark is not clear" if doubtful else "two marks are clear"
    return OpenRow(row, _title(scan, inks[0].bubble, home), why, _crop(scan, inks), choices)


def _word(bubble: Bubble, home: HomePlan) -> str:
    if bubble.use == "who":
        place = bubble.choice or 0
        return home.adults[place] if place < len(home.adults) else f"adult {place + 1}"
    if bubble.use == "way":
        return f"reason {(bubble.choice or 0) + 1}"
    return "child stopped" if bubble.choice is None else home.ladder.name(bubble.choice)


def _title(scan: Scan, bubble: Bubble, home: HomePlan) -> str:
    start = first_day(queries.page(scan), queries.answers(scan))
    parts = []
    if bubble.day is not None:
        day = start + timedelta(days=bubble.day - 1) if start else None
        parts.append(f"{day:%a} {day.day} {day:%b}" if day else f"day {bubble.day}")
    if bubble.turn is not None:
        parts.append(f"turn {bubble.turn}")
    if bubble.step is not None and len(home.asked) > 1:
        parts.append(home.asked[bubble.step - 1].name)
    return ", ".join(parts) or "What got in the way?"


def _crop(scan: Scan, inks: list[BubbleInk]) -> str:
    places = [scan.places[ink.bubble.id] for ink in inks]
    pad = 2.2 * _AROUND * scan.width
    xs, ys = [x * scan.width for x, _ in places], [y * scan.height for _, y in places]
    left, top = max(0.0, min(xs) - pad), max(0.0, min(ys) - pad)
    return f"{left:.0f} {top:.0f} {max(xs) + pad - left:.0f} {max(ys) + pad - top:.0f}"


def read_rows(scan: Scan) -> list[tuple[str, str]]:
    """What the clear rows say, in the order of the page: (which row, which help)."""
    if scan.plan is None:
        return []
    page, home = queries.page(scan), queries.home(scan.plan)
    found = []
    for row, inks in by_row(page.bubbles).items():
        marked = [ink for ink in inks if ink.state is Ink.MARKED]
        if row not in page.open_rows and marked and marked[0].bubble.use == "help":
            found.append((_title(scan, marked[0].bubble, home), _word(marked[0].bubble, home)))
    return found
