"""A drawing on a page: once for a wide screen, once for a narrow one, with its table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from bylittle.charts import PHONE, SCREEN, Chart, Medium, Table
from bylittle.charts.fidelity import AdultTrend, CheckPoint, fidelity_trend
from bylittle.web.plans.models import Plan
from bylittle.web.practice.fidelity import USUAL_BAR, AdultChecks, Coaching


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing for a wide and for a narrow screen (our own writer made the SVG), and its table."""

    wide: SafeString
    narrow: SafeString
    table: Table


def picture(draw: Callable[[Medium], Chart], name: str) -> Picture:
    """The drawing for both screens; `name` is its own on the page."""
    wide, narrow = draw(SCREEN), draw(PHONE)
    return Picture(mark_safe(wide.svg(name)), mark_safe(narrow.svg(f"{name}-narrow")), wide.table)


def of_coaching(shown: Coaching, plans: list[Plan], skill: str, today: date) -> Picture | None:
    """The trend of each adult's checks; None before the first check."""
    if not shown.adults:
        return None
    adults = [_trend(adult) for adult in shown.adults]
    starts = [(plan.number, plan.start) for plan in plans if plan.signed and plan.start]
    return picture(
        lambda medium: fidelity_trend(adults, starts, skill=skill, bar=USUAL_BAR, until=today, medium=medium),
        "fidelity",
    )


def _trend(adult: AdultChecks) -> AdultTrend:
    told = [
        CheckPoint(check.on, check.share, check.plan, check.things)
        for check in adult.checks
        if check.share is not None
    ]
    return AdultTrend(adult.name, tuple(told))
