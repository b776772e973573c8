"""From the ink of a log sheet to practice: what its rows say once a person has settled the doubts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from bylittle.core.sheet import geometry, identity, settle
from bylittle.core.sheet.ink import BubbleInk, Ink, PageInk

#: Said of a day where nobody can tell who practised.
NOT_KNOWN = "?"


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person said about a sheet.

    `rows`: the bubble chosen in a row, None for blank; a clear row may be put right too. `start`: the first
    day of a sheet without dates, or of a photocopy used for another week. `adults`: who practised, by the
    sheet's day from 1 (`NOT_KNOWN` where nobody can tell), for days that say it unclearly or wrongly.
    """

    rows: Mapping[str, str | None]
    start: date | None = None
    adults: Mapping[int, str] = field(default_factory=dict)


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


def days_of(page: PageInk, start: date) -> tuple[date, date]:
    """The first and the last day that stand on this page."""
    days = sorted(card.day for card in geometry.page(page.sheet.shape, page.sheet.page).cards)
    return start + timedelta(days=days[0] - 1), start + timedelta(days=days[-1] - 1)


def ticked(page: PageInk, printed: tuple[str, ...], known: tuple[str, ...]) -> dict[int, str]:
    """Who is clearly ticked on each day: one name alone that stands on the sheet and on the plan."""
    found = {}
    for day, places in settle.adults(page).items():
        if places is not None and len(places) == 1 and places[0] < len(printed):
            name = printed[places[0]]
            if name in known:
                found[day] = name
    return found


def open_days(page: PageInk, printed: tuple[str, ...], plan: HomePlan, answers: Answers) -> tuple[int, ...]:
    """Days with marks where it is neither clear nor said who practised."""
    clear = {**ticked(page, printed, plan.adults), **answers.adults}
    marked = {entry.day for entry in settle.entries(page, answers.rows)}
    return tuple(sorted(day for day in marked if not clear.get(day)))


def entries_of(page: PageInk, printed: tuple[str, ...], plan: HomePlan, answers: Answers) -> dict[str, Entry]:
    """The practice entry of each marked row, source paper. A blank row gives none. The first day is known.

    `printed`: the adults' initials as they stand on the sheet.
    """
    start = first_day(page, answers)
    assert start is not None, "ask for the first day before"
    who = {**ticked(page, printed, plan.adults), **answers.adults}
    told = settle.entries(page, answers.rows)
    return {mark.row: _entry(mark, plan, who.get(mark.day, ""), start) for mark in told}


def _entry(mark: settle.Entry, plan: HomePlan, adult: str, start: date) -> Entry:
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
        adult="" if adult == NOT_KNOWN else adult,
        grade=plan.grade,
    )
