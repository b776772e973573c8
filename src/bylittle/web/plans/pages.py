"""The pages of a plan on paper: from the record to the printers' values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from django.utils import timezone

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.core.sheet.shape import PAPERS
from bylittle.printing.cue_card import cue_card_pdf
from bylittle.printing.home_plan import home_plan_pdf
from bylittle.printing.log_sheet import print_log_sheet, tongue
from bylittle.printing.picture_strip import picture_strip_pdf
from bylittle.printing.pictures import StepPicture, for_steps
from bylittle.printing.press import press
from bylittle.printing.setting import PageSetting, Paper
from bylittle.printing.visit_set import SheetOrder, visit_set_pdf
from bylittle.web.pictures import places
from bylittle.web.plans import copies, own_pictures, waiting
from bylittle.web.plans.models import Gate, Plan
from bylittle.web.plans.queries import as_home_plan, in_language, initials_of, lines
from bylittle.web.plans.read_through import wholly_read

KINDS = (
    ("home-plan", "Home plan, one page"),
    ("strip", "Picture strip"),
    ("cards", "Cue cards, fridge and wallet"),
    ("log-sheet", "Log sheet for the fridge"),
    ("tonight", "Everything for tonight in one file"),
)
MOST_SHEET_TURNS, MOST_SHEET_ADULTS = 5, 4


def home(plan: Plan) -> HomePlan:
    """The plan as the core's value."""
    return as_home_plan(plan)


def pdf(plan: Plan, kind: str, paper: str, copy: str = "A") -> bytes:
    """One page as PDF. BadValue for a page, paper or copy that there is not; the printers' faults otherwise.

    `copy`: which print of the log sheet; the other pages know one alone.
    A signed plan that waits for what was done about a sign of the last review is not printed.
    """
    makers: dict[str, Callable[[Plan, PageSetting], bytes]] = {
        "home-plan": _home_plan,
        "strip": _strip,
        "cards": _cards,
        "log-sheet": partial(_log_sheet, copy=copy),
        "tonight": _tonight,
    }
    if kind not in makers:
        raise BadValue("page_kind", name="page", value=kind, allowed=tuple(makers))
    if plan.signed:
        waiting.check(plan)
    return makers[kind](plan, _setting(plan, paper))


def _setting(plan: Plan, paper: str) -> PageSetting:
    child, gate = plan.skill.child, _gate(plan)
    return PageSetting(
        paper=known_paper(paper),
        language=child.language,
        second_language=child.second_language or None,
        text_size=child.text_size,
        signed_by=plan.signed_by.shown_name if plan.signed_by else "",
        signed_on=plan.signed_at.date() if plan.signed_at else None,
        left_handed=child.left_handed,
        reviewed=_reviewed(plan, gate),
        allergies=lines((gate or child).allergies),
    )


def _reviewed(plan: Plan, gate: Gate | None) -> frozenset[str]:
    """Languages in which a speaker has read this page: told at the gate, or text by text in the library."""
    child = plan.skill.child
    if gate is not None and gate.language_check == "read":
        return frozenset({"en", child.language, child.second_language})
    told = [home for home in spoken(plan) if home is not None and home.language != "en"]
    return frozenset({"en", *(home.language for home in told if wholly_read(plan, home))})


def _gate(plan: Plan) -> Gate | None:
    return Gate.objects.filter(plan=plan).first()


def known_paper(paper: str) -> Paper:
    if paper not in PAPERS:
        raise BadValue("paper", name="paper", value=paper, allowed=tuple(PAPERS))
    return "letter" if paper == "letter" else "a4"


def spoken(plan: Plan) -> tuple[HomePlan, HomePlan | None]:
    """The plan in the family's words and, where the home speaks two languages, in the other ones.

    Precautions stand alone here: allergies have their own line of the page.
    """
    child = plan.skill.child
    names = tuple(adult.name for adult in child.caregivers.all())
    alone = lines((_gate(plan) or child).precautions)
    own = replace(as_home_plan(plan), precautions=alone, adults=names)
    known = {"en": own}
    for language in {child.language, child.second_language} - {"", "en"}:
        told = in_language(plan, own, language)
        if told is not None:
            known[language] = told
    first = known.get(child.language, own)
    second = known.get(child.second_language)
    return first, second if second is not first else None


def _home_plan(plan: Plan, setting: PageSetting) -> bytes:
    first, also = spoken(plan)
    return home_plan_pdf(first, setting, press(), also=also, pictures=_pictures(plan, first))


def _strip(plan: Plan, setting: PageSetting) -> bytes:
    first, also = spoken(plan)
    return picture_strip_pdf(first, setting, press(), also=also, pictures=_pictures(plan, first))


def _cards(plan: Plan, setting: PageSetting) -> bytes:
    first, also = spoken(plan)
    return cue_card_pdf(first, setting, press(), also=also, pictures=_pictures(plan, first))


def _tonight(plan: Plan, setting: PageSetting) -> bytes:
    first, also = spoken(plan)
    sheet = _sheet_order(plan, setting) if plan.signed else None
    drawn = _pictures(plan, first)
    return visit_set_pdf(first, setting, press(), also=also, pictures=drawn, sheet=sheet)


def _pictures(plan: Plan, home: HomePlan) -> Mapping[str, StepPicture]:
    """The child's own pictures, else the drawings of the ready skill that the steps come from."""
    own = places.for_print(own_pictures.chosen(plan), timezone.localdate())
    return {**for_steps(home.steps, plan.skill.library_id), **own}


def _log_sheet(plan: Plan, setting: PageSetting, copy: str) -> bytes:
    if not plan.signed:
        raise BadValue("draft_has_no_log_sheet", name="plan", value=plan.number, allowed="a signed plan")
    order = _sheet_order(plan, setting)
    sheet = copies.printed_as(order.plan, copies.of_letter(plan, copy))
    return print_log_sheet(sheet, PAPERS[setting.paper], press(), order.first, order.second).pdf


def _sheet_order(plan: Plan, setting: PageSetting) -> SheetOrder:
    first, _ = spoken(plan)
    second = tongue(setting.second_language) if setting.second_language else None
    return SheetOrder(sheet_plan(replace(first, adults=initials_of(plan))), tongue(setting.language), second)


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
        adults=home.adults[:MOST_SHEET_ADULTS] or ("A",),
        start=home.start,
        chaining=home.chaining.value,
        leap_ahead=home.leap_ahead,
        order_of_help=home.order_of_help.value,
        wait_s=home.wait_s,
        stop_signs=home.stop_rule.stop_signs,
        call=home.stop_rule.call or None,
    )
