"""The prints of a plan's log sheet: the first, and those made later for another home or another week.

Each has a letter of its own, which stands on the paper and in its number, so that photographs of two sheets
that show the same days are told apart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from bylittle.core.faults import BadValue
from bylittle.core.sheet.identity import COPIES
from bylittle.core.sheet.plan import SheetPlan
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan

WEEK = timedelta(days=7)
MOST_WHOSE = 40


@dataclass(frozen=True, slots=True)
class Copy:
    """One print: its letter, its first day (None where no dates are printed), for whom, made by whom when."""

    letter: str
    start: date | None
    whose: str = ""
    by: str = ""
    on: date | None = None


def all_of(plan: Plan) -> tuple[Copy, ...]:
    """Every print of the plan's log sheet; the first one needs no making."""
    return (Copy(COPIES[0], plan.start), *(_kept(each) for each in plan.copies))


def _kept(each: dict[str, str]) -> Copy:
    start = date.fromisoformat(each["start"]) if each["start"] else None
    made = timezone.localdate(datetime.fromisoformat(each["at"]))
    return Copy(each["letter"], start, each["whose"], each["by"], made)


def of_letter(plan: Plan, letter: str) -> Copy:
    """The print with that letter. BadValue where there is none."""
    known = {copy.letter: copy for copy in all_of(plan)}
    if letter not in known:
        raise BadValue("no_such_copy", name="copy", value=letter, allowed=tuple(known))
    return known[letter]


def next_letter(plan: Plan) -> str:
    """The letter that the next print gets; empty where all are used."""
    return COPIES[len(plan.copies) + 1 : len(plan.copies) + 2]


def weeks(plan: Plan, today: date) -> tuple[date | None, ...]:
    """The first days that another print may have: the last one printed, this week's and the next week's.

    Weeks run from the plan's first day on.
    """
    last = max((copy.start for copy in all_of(plan) if copy.start is not None), default=None)
    if last is None:
        return (None,)
    this = last + max(0, (today - last) // WEEK) * WEEK
    return tuple(sorted({last, this, this + WEEK}))


def told_start(start: date | None) -> str:
    """A first day as a form sends it."""
    return start.isoformat() if start else ""


@transaction.atomic
def make(plan: Plan, start: date | None, whose: str, by: Person, today: date) -> Copy:
    """Another print of a signed plan's log sheet, with the next letter.

    BadValue for a draft, for other days than `weeks` says, and where all letters are used.
    """
    kept = Plan.objects.select_for_update().get(pk=plan.pk)
    letter = next_letter(kept)
    if not kept.signed:
        raise BadValue("draft_has_no_log_sheet", name="plan", value=kept.number, allowed="a signed plan")
    if not letter or start not in weeks(kept, today):
        raise BadValue(
            "no_more_copies", name="copy", value=letter or COPIES[-1], allowed=(COPIES[0], COPIES[-1])
        )
    told = {"letter": letter, "start": told_start(start), "whose": whose[:MOST_WHOSE]}
    told |= {"by": by.shown_name, "at": timezone.now().isoformat()}
    kept.copies = [*kept.copies, told]
    kept.save(update_fields=["copies"])
    plan.copies = kept.copies
    return _kept(told)


def printed_as(sheet: SheetPlan, copy: Copy) -> SheetPlan:
    """What stands on the sheet, as this print."""
    return replace(sheet, copy=copy.letter, start=copy.start)
