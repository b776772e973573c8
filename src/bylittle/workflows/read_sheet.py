"""From the ink of a log sheet to practice: what its rows say once a person has settled the doubts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from bylittle.core.sheet import geometry, identity, settle
from bylittle.core.sheet.ink import BubbleInk, Ink, PageInk


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person said about a sheet.

    `rows`: the bubble chosen in a row, None for blank. `start`: the first day of a sheet without dates, or of
    a photocopy used for another week. `adult`: who practised on days where nobody or several are ticked.
    """

    rows: Mapping[str, str | None]
    start: date | None = None
    adult: str = ""


def page_of(sheet: str, ink: Mapping[str, tuple[str, float]]) -> PageInk:
    """A page's ink from what was kept of it: the sheet's id and each bubble's state and darkness."""
    number = identity.read(sheet)
    bubbles = geometry.page(number.shape, number.page).bubbles
    kept = (BubbleInk(bubble, Ink(ink[bubble.id][0]), ink[bubble.id][1]) for bubble in bubbles)
    return PageInk(number, tuple(kept))


def kept_ink(page: PageInk) -> dict[str, tuple[str, float]]:
    """What is kept of a page's ink; `page_of` gives the page back."""
    return {ink.bubble.id: (ink.state.value, round(float(ink.ink), 4)) for ink in page.bubbles}


def first_day(page: PageInk, answers: Answers) -> date | None:
    """The first day of the sheet: as a person said, else as printed; None where neither is known."""
    return answers.start or page.sheet.start


def open_days(page: PageInk, answers: Answers) -> tuple[int, ...]:
    """Days with marks where it is not clear who practised."""
    told = settle.entries(page, answers.rows)
    return tuple(sorted({entry.day for entry in told if len(entry.adults) != 1}))


def entries_of(page: PageInk, plan: HomePlan, answers: Answers) -> dict[str, Entry]:
    """The practice entry of each marked row, source paper. A blank row gives none. The first day is known."""
    start = first_day(page, answers)
    assert start is not None, "ask for the first day before"
    told = settle.entries(page, answers.rows)
    return {mark.row: _entry(mark, plan, answers, start) for mark in told}


def _entry(mark: settle.Entry, plan: HomePlan, answers: Answers, start: date) -> Entry:
    step = plan.asked[mark.step - 1]
    stopped = mark.level is None
    return Entry(
        day=start + timedelta(days=mark.day - 1),
        turn=mark.turn,
        step_id=step.step_id,
        outcome=Outcome.STOPPED if stopped else Outcome.NEEDED,
        needed=mark.level,
        offered=step.help_level,
        order=plan.order_of_help,
        source=Source.PAPER,
        adult=_adult(mark.adults, plan, answers),
        grade=plan.grade,
    )


def _adult(ticked: tuple[int, ...], plan: HomePlan, answers: Answers) -> str:
    if len(ticked) == 1 and ticked[0] < len(plan.adults):
        return plan.adults[ticked[0]]
    return answers.adult
