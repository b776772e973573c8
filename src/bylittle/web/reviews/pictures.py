"""The pictures of a review: the single-case graph and the chance per step, for screen and print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from bylittle.charts import SCREEN, Chart, Medium
from bylittle.charts.chance import LevelChance, StepChances, chances
from bylittle.charts.graph import single_case
from bylittle.core.evidence.phases import phases_of
from bylittle.core.evidence.series import series_of
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import as_home_plan, plans_of, signed_plan
from bylittle.web.practice.queries import log_of
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.queries import as_core, latest_version
from bylittle.workflows.advise_log import AdvisedLog


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart as a page shows it: the SVG (made by our own writer, texts escaped) and its table."""

    svg: SafeString
    chart: Chart


def of_skill(skill: Skill, found: AdvisedLog) -> dict[str, Picture]:
    """The graph of practice and probes, and the chance per step."""
    plans = plans_of(skill)
    return {
        "graph": _picture(graph(skill, plans), "graph"),
        "chances": _picture(chance_chart(skill, found, signed_plan(plans)), "chances"),
    }


def _picture(chart: Chart, name: str) -> Picture:
    return Picture(mark_safe(chart.svg(name)), chart)


def graph(skill: Skill, plans: list[Plan], medium: Medium = SCREEN) -> Chart:
    """The single-case graph of a skill."""
    plan = signed_plan(plans)
    ladder = plan.ladder if plan else DEFAULT_LADDER
    series = series_of(log_of(skill), as_core(latest_version(skill)), ladder.top)
    homes = [as_home_plan(each) for each in plans if each.signed]
    phases = phases_of(series, homes, _carry_over_from(skill))
    return single_case(series, phases, medium=medium, ladder=ladder)


def _carry_over_from(skill: Skill) -> date | None:
    if skill.state != SkillState.LASTING:
        return None
    last = skill.reviews.filter(decided="done").order_by("-pk").first()
    return last.on if last else None


def chance_chart(skill: Skill, found: AdvisedLog, plan: Plan | None, medium: Medium = SCREEN) -> Chart:
    """The chance of each of the child's steps: with the help offered now, and alone."""
    offered = {step.step_id: step.help_level for step in plan.steps.all() if step.asked} if plan else {}
    band = (plan.band_low, plan.band_high) if plan else None
    steps = [
        StepChances(
            step.number,
            step.name,
            step.step_id in offered,
            _levels(step.chances, offered.get(step.step_id), found.ladder),
        )
        for step in found.steps
        if step.chances
    ]
    return chances(steps, skill=skill.name, top=found.ladder.top, band=band, medium=medium)


def _levels(
    values: tuple[tuple[float, float, float], ...], offered: int | None, ladder: Ladder
) -> tuple[LevelChance, ...]:
    shown = sorted({ladder.top, offered if offered is not None else ladder.top})
    return tuple(LevelChance(level, ladder.name(level), *values[level]) for level in shown)
