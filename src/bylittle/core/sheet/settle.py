"""From ink to practice: what each row says once doubts are settled, and how two photographs differ.

Nothing here guesses: a row with a doubtful bubble, or with two clear marks, says nothing until a person has
chosen; a blank row is missing and never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bylittle.core.faults import BadValue
from bylittle.core.sheet.identity import SheetId, plan_number
from bylittle.core.sheet.ink import BubbleInk, Ink, PageInk, by_row


@dataclass(frozen=True, slots=True)
class Entry:
    """One step mark: `day` and `turn` from 1, `step` from 1 among the asked steps.

    `level` is the index on the plan's ladder, None where the child stopped. `adults` are the indices of those
    ticked for the day: one names who practised, none or several leave it open.
    """

    row: str
    day: int
    turn: int
    step: int
    level: int | None
    adults: tuple[int, ...] = ()


class Fit(StrEnum):
    """How a photographed sheet fits the plan that is in force."""

    THIS_PLAN = "this_plan"
    OLDER_VERSION = "older_version"
    NEWER_VERSION = "newer_version"
    ANOTHER_PLAN = "another_plan"


@dataclass(frozen=True, slots=True)
class Difference:
    """Rows of a second photograph of a sheet against the first: newly marked, changed, no longer marked."""

    added: tuple[str, ...]
    changed: tuple[str, ...]
    gone: tuple[str, ...]

    @property
    def same(self) -> bool:
        return not (self.added or self.changed or self.gone)

    @property
    def only_more(self) -> bool:
        """More days filled in, and nothing taken back: the usual second photograph of a week."""
        return bool(self.added) and not (self.changed or self.gone)


def fit(sheet: SheetId, plan: str, version: int) -> Fit:
    """Whether `sheet` was printed for `plan` and this `version` of it."""
    if sheet.plan != plan_number(plan):
        return Fit.ANOTHER_PLAN
    if sheet.version == version:
        return Fit.THIS_PLAN
    return Fit.OLDER_VERSION if sheet.version < version else Fit.NEWER_VERSION


def entries(page: PageInk, chosen: Mapping[str, str | None] | None = None) -> tuple[Entry, ...]:
    """What the rows of help bubbles say. `chosen` settles rows: a bubble's id, or None for blank.

    Rows that are open and not settled are left out; `PageInk.open_rows` names them.
    """
    answers = dict(chosen or {})
    rows = by_row(page.bubbles)
    _check_answers(rows, answers)
    ticked = _adults(rows, answers)
    found = []
    for row, inks in rows.items():
        mark = _mark(inks, answers, row)
        if mark is None or mark.bubble.use != "help":
            continue
        day, turn, step = mark.bubble.day or 1, mark.bubble.turn or 1, mark.bubble.step or 1
        found.append(Entry(row, day, turn, step, mark.bubble.choice, ticked.get(day, ())))
    return tuple(found)


def ways(page: PageInk, chosen: Mapping[str, str | None] | None = None) -> tuple[int, ...]:
    """The boxes ticked under "what got in the way?", from 0."""
    answers = dict(chosen or {})
    marks = (_mark(inks, answers, row) for row, inks in by_row(page.bubbles).items())
    return tuple(mark.bubble.choice or 0 for mark in marks if mark and mark.bubble.use == "way")


def difference(old: PageInk, new: PageInk) -> Difference:
    """What a second photograph of a page adds, changes or lacks; open rows of either stay unknown."""
    if old.sheet != new.sheet:
        raise BadValue(name="sheet", value=str(new.sheet), allowed=str(old.sheet))
    before, after = _marks(old), _marks(new)
    known = [row for row in before if row not in old.open_rows and row not in new.open_rows]
    return Difference(
        added=tuple(row for row in known if before[row] is None and after[row] is not None),
        changed=tuple(row for row in known if before[row] and after[row] and before[row] != after[row]),
        gone=tuple(row for row in known if before[row] is not None and after[row] is None),
    )


def adults(page: PageInk) -> dict[int, tuple[int, ...] | None]:
    """Who is ticked on each day of the page, by place in the printed names; None where one is doubtful."""
    found: dict[int, tuple[int, ...] | None] = {ink.bubble.day or 1: () for ink in _used(page, "help")}
    for ink in _used(page, "who"):
        day, known = ink.bubble.day or 1, found.get(ink.bubble.day or 1, ())
        if ink.state is Ink.DOUBTFUL or known is None:
            found[day] = None
        elif ink.state is Ink.MARKED:
            found[day] = (*known, ink.bubble.choice or 0)
    return found


def rows_to_ask(page: PageInk) -> tuple[str, ...]:
    """The open rows of help and of what got in the way; who practised is asked by the day."""
    asked = {ink.bubble.row for ink in page.bubbles if ink.bubble.use != "who"}
    return tuple(row for row in page.open_rows if row in asked)


def read_of(page: PageInk, row: str) -> str | None:
    """The bubble that a clear row says; None where it is blank or open."""
    mark = _mark([ink for ink in page.bubbles if ink.bubble.row == row], {}, row)
    return mark.bubble.id if mark else None


def _used(page: PageInk, use: str) -> list[BubbleInk]:
    return [ink for ink in page.bubbles if ink.bubble.use == use]


def _marks(page: PageInk) -> dict[str, str | None]:
    marks = {row: _mark(inks, {}, row) for row, inks in by_row(page.bubbles).items()}
    return {row: mark.bubble.id if mark else None for row, mark in marks.items()}


def _mark(inks: list[BubbleInk], answers: Mapping[str, str | None], row: str) -> BubbleInk | None:
    if row in answers:
        return next((ink for ink in inks if ink.bubble.id == answers[row]), None)
    marked = [ink for ink in inks if ink.state is Ink.MARKED]
    open_row = any(ink.state is Ink.DOUBTFUL for ink in inks) or len(marked) > 1
    return marked[0] if marked and not open_row else None


def _adults(
    rows: Mapping[str, list[BubbleInk]], answers: Mapping[str, str | None]
) -> dict[int, tuple[int, ...]]:
    found: dict[int, tuple[int, ...]] = {}
    for row, inks in rows.items():
        mark = _mark(inks, answers, row)
        if mark is not None and mark.bubble.use == "who" and mark.bubble.day is not None:
            found[mark.bubble.day] = (*found.get(mark.bubble.day, ()), mark.bubble.choice or 0)
    return found


def _check_answers(rows: Mapping[str, list[BubbleInk]], answers: Mapping[str, str | None]) -> None:
    for row, chosen in answers.items():
        known = [ink.bubble.id for ink in rows.get(row, [])]
        if row not in rows or (chosen is not None and chosen not in known):
            raise BadValue(name=row, value=chosen, allowed=known)
