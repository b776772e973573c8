"""The pages of a plan on paper: from the record to the printers' values."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.core.sheet.shape import PAPERS
from bylittle.printing.home_plan import home_plan_pdf
from bylittle.printing.log_sheet import print_log_sheet, tongue
from bylittle.printing.picture_strip import picture_strip_pdf
from bylittle.printing.press import press
from bylittle.printing.setting import PageSetting, Paper
from bylittle.web.plans.models import Gate, Plan
from bylittle.web.plans.queries import as_home_plan, lines

KINDS = (
    ("home-plan", "Home plan, one page"),
    ("strip", "Step strip"),
    ("log-sheet", "Log sheet for the fridge"),
)
MOST_SHEET_TURNS = 5


def home(plan: Plan) -> HomePlan:
    """The plan as the core's value."""
    return as_home_plan(plan)


def pdf(plan: Plan, kind: str, paper: str) -> bytes:
    """One page as PDF. BadValue for a page or paper that there is not; the printers' faults otherwise."""
    makers: dict[str, Callable[[Plan, PageSetting], bytes]] = {
        "home-plan": _home_plan,
        "strip": _strip,
        "log-sheet": _log_sheet,
    }
    if kind not in makers:
        raise BadValue("page_kind", name="page", value=kind, allowed=tuple(makers))
    return makers[kind](plan, _setting(plan, paper))


def _setting(plan: Plan, paper: str) -> PageSetting:
    child = plan.skill.child
    gate = Gate.objects.filter(plan=plan).first()
    signed_on = plan.signed_at.date() if plan.signed_at else None
    return PageSetting(
        paper=_known(paper),
        language=child.language,
        signed_by=plan.signed_by.shown_name if plan.signed_by else "",
        signed_on=signed_on,
        left_handed=child.left_handed,
        allergies=lines((gate or child).allergies),
    )


def _known(paper: str) -> Paper:
    if paper not in PAPERS:
        raise BadValue("paper", name="paper", value=paper, allowed=tuple(PAPERS))
    return "letter" if paper == "letter" else "a4"


def _told(plan: Plan) -> HomePlan:
    """The plan with precautions alone: allergies stand on their own line of the page."""
    gate = Gate.objects.filter(plan=plan).first()
    return replace(as_home_plan(plan), precautions=lines((gate or plan.skill.child).precautions))


def _home_plan(plan: Plan, setting: PageSetting) -> bytes:
    return home_plan_pdf(_told(plan), setting, press())


def _strip(plan: Plan, setting: PageSetting) -> bytes:
    return picture_strip_pdf(_told(plan), setting, press())


def _log_sheet(plan: Plan, setting: PageSetting) -> bytes:
    if not plan.signed:
        raise BadValue("draft_has_no_log_sheet", name="plan", value=plan.number, allowed="a signed plan")
    printed = print_log_sheet(
        sheet_plan(as_home_plan(plan)), PAPERS[setting.paper], press(), tongue(setting.language)
    )
    return printed.pdf


def sheet_plan(home: HomePlan) -> SheetPlan:
    """What of a home plan goes onto its log sheet."""
    levels = home.ladder.names
    return SheetPlan(
        plan=home.plan_id,
        version=home.number,
        skill=home.skill_name,
        child=home.child or None,
        steps=tuple(
            SheetStep(
                step.name,
                step.cue,
                step.asked,
                levels[step.help_level] if step.asked and step.help_level is not None else None,
            )
            for step in home.steps
        ),
        levels=levels,
        days=min(home.dose.days, 7),
        turns_per_day=min(home.dose.turns_per_day, MOST_SHEET_TURNS),
        language=home.language,
        adults=home.adults or ("A",),
        start=home.start,
        chaining=home.chaining.value,
        order_of_help=home.order_of_help.value,
        wait_s=home.wait_s,
        stop_signs=home.stop_rule.stop_signs,
        call=home.stop_rule.call or None,
    )
