"""A page that is too full says what to shorten, instead of shrinking into nothing or dropping words."""

from __future__ import annotations

import re

from bylittle.core.faults import Fault
from bylittle.core.plan.home_plan import HomePlan
from bylittle.printing.family_words import Words
from bylittle.printing.press import Press, UnprintablePage
from bylittle.printing.setting import PageSetting

COMFORTABLE = {
    "praise": 90,
    "when_it_goes_wrong": 140,
    "bad_days": 90,
    "routine": 60,
    "skill_name": 40,
    "materials": 70,
}
COMFORTABLE_STEP, COMFORTABLE_CARE, COMFORTABLE_STEPS = 32, 70, 8


class PageTooFull(Fault):
    """The plan does not fit on one page: `over_mm` too high; `shorten` names texts with their lengths."""

    code = "page_too_full"


def set_or_explain(press: Press, template: str, data: Words, plan: HomePlan, setting: PageSetting) -> bytes:
    """The PDF; `PageTooFull` in place of the press's own words where a page is too full."""
    try:
        return press.print(template, data)
    except UnprintablePage as refused:
        raise _explained(refused, plan, setting) from refused


def _explained(refused: UnprintablePage, plan: HomePlan, setting: PageSetting) -> Fault:
    over = re.search(r"PAGE-TOO-FULL ([\d.]+)", str(refused.values["reason"]))
    if over is None:
        return refused
    return PageTooFull(over_mm=float(over[1]), shorten=tuple(too_long(plan, setting)))


def too_long(plan: HomePlan, setting: PageSetting) -> list[tuple[str, int, int]]:
    """What to shorten first: (what, length, comfortable length), the furthest over first."""
    lengths = _lengths(plan, setting)
    over = [entry for entry in lengths if entry[1] > entry[2]]
    return sorted(over or lengths[-1:], key=lambda entry: entry[2] - entry[1])


def _lengths(plan: HomePlan, setting: PageSetting) -> list[tuple[str, int, int]]:
    told = {
        "praise": plan.praise,
        "when_it_goes_wrong": plan.when_it_goes_wrong,
        "bad_days": plan.bad_days,
        "routine": plan.dose.routine,
        "skill_name": plan.skill_name,
        "materials": ", ".join(plan.materials),
    }
    found = [(name, len(text), COMFORTABLE[name]) for name, text in told.items()]
    for number, step in enumerate(plan.steps, start=1):
        found.append((f"step {number}: name", len(step.name), COMFORTABLE_STEP))
        found.append((f"step {number}: hazard", len(step.hazard), COMFORTABLE_CARE))
    for name, texts in (("precautions", plan.precautions), ("allergies", setting.allergies)):
        found.append((name, sum(map(len, texts)), COMFORTABLE_CARE))
    found.append(("cautions", sum(map(len, setting.cautions)), COMFORTABLE_CARE))
    signs = (*plan.stop_rule.stop_signs, *plan.stop_rule.yes_signs)
    found.append(("stop and yes signs", sum(map(len, signs)), COMFORTABLE_CARE))
    found.append(("steps", len(plan.steps), COMFORTABLE_STEPS))
    return found
