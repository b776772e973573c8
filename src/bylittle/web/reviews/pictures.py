"""What a review shows of the evidence: the graph, the chance per step, belief over time, and the words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bylittle.charts import PRINT, SCREEN, Chart, Medium
from bylittle.charts.belief import BeliefDay, belief
from bylittle.charts.chance import LevelChance, StepChances, chances
from bylittle.charts.definition import Segment
from bylittle.charts.graph import multiple_probe, single_case
from bylittle.core.evidence.phases import Phase, phases_of, phases_of_step
from bylittle.core.evidence.report import report_facts
from bylittle.core.evidence.series import Series, series_of
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import PracticeLog
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion
from bylittle.library.wording.evidence import Sentence, paragraph
from bylittle.web.plans.models import Goal, Plan
from bylittle.web.plans.queries import as_home_plan, plans_of, signed_plan
from bylittle.web.practice.pictures import Picture, picture
from bylittle.web.practice.queries import log_of
from bylittle.web.reviews.advice import setting_of
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.queries import as_core, latest_version
from bylittle.workflows.advise_log import AdvisedLog
from bylittle.workflows.belief import belief_over_time

#: The belief drawing shows at most this many points, so that a year's log stays quick to draw.
MOST_DAYS = 40


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that a skill's drawings and words rest on."""

    skill: Skill
    plan: Plan | None
    ladder: Ladder
    version: SkillVersion
    log: PracticeLog
    homes: tuple[HomePlan, ...]
    series: Series
    phases: tuple[Phase, ...]
    carry_over_from: date | None


def evidence_of(skill: Skill) -> Evidence:
    """Read a skill's record once for all drawings."""
    plans = plans_of(skill)
    plan = signed_plan(plans)
    ladder = plan.ladder if plan else DEFAULT_LADDER
    version, log = as_core(latest_version(skill)), log_of(skill)
    series = series_of(log, version, ladder.top)
    homes = tuple(as_home_plan(each) for each in plans if each.signed)
    since = _carry_over_from(skill)
    return Evidence(skill, plan, ladder, version, log, homes, series, phases_of(series, homes, since), since)


def _carry_over_from(skill: Skill) -> date | None:
    if skill.state != SkillState.LASTING:
        return None
    last = skill.reviews.filter(decided="done").order_by("-pk").first()
    return last.on if last else None


def of_skill(evidence: Evidence, found: AdvisedLog, lines: bool = False) -> dict[str, Picture | str]:
    """The graph, the chance per step and, where a step is asked, the belief over time with what it is of."""
    drawn: dict[str, Picture | str] = {
        "graph": picture(lambda medium: graph(evidence, medium, lines), "graph"),
        "steps": picture(lambda medium: by_step(evidence, medium), "steps"),
        "chances": picture(lambda medium: chance_chart(evidence, found, medium), "chances"),
    }
    course = _course(evidence)
    if course is not None:
        drawn["belief"] = picture(lambda medium: _belief(evidence, course, medium), "belief")
        drawn["belief_of"] = _of(evidence, course)
    return drawn


Course = tuple[str, list[BeliefDay]]


def belief_chart(evidence: Evidence, medium: Medium) -> tuple[str, Chart] | None:
    """How the belief in the step that is taught now went, with what it is of; None where none is asked."""
    course = _course(evidence)
    return (_of(evidence, course), _belief(evidence, course, medium)) if course else None


def _of(evidence: Evidence, course: Course) -> str:
    return f"{course[0]}, {evidence.ladder.name(evidence.ladder.top)}"


def _belief(evidence: Evidence, course: Course, medium: Medium) -> Chart:
    level = evidence.ladder.name(evidence.ladder.top)
    return belief(course[1], step=course[0], level=level, phases=evidence.phases, medium=medium)


def graph(evidence: Evidence, medium: Medium = SCREEN, lines: bool = False) -> Chart:
    """The single-case graph of a skill; `lines`: with each phase's trend and the aim to the goal's day."""
    aim = _aim(evidence) if lines else None
    return single_case(
        evidence.series, evidence.phases, medium=medium, ladder=evidence.ladder, trend=lines, aim=aim
    )


def _aim(evidence: Evidence) -> Segment | None:
    """From the last baseline point to all steps alone on the goal's day."""
    goal = Goal.objects.filter(skill=evidence.skill).first()
    baseline = [probe for probe in evidence.series.probes if probe.baseline]
    if goal is None or goal.by is None or not baseline or goal.by <= baseline[-1].day:
        return None
    return Segment(baseline[-1].day, 100 * baseline[-1].share_alone, goal.by, 100.0)


def by_step(evidence: Evidence, medium: Medium = SCREEN) -> Chart:
    """The multiple-probe view: each step with its own baseline, on one time axis."""
    parts = []
    for step in evidence.version.steps:
        series = series_of(evidence.log, evidence.version, evidence.ladder.top, step.id)
        parts.append((series, phases_of_step(series, evidence.homes, step.id)))
    return multiple_probe(parts, skill=evidence.skill.name, medium=medium, ladder=evidence.ladder)


def chance_chart(evidence: Evidence, found: AdvisedLog, medium: Medium = SCREEN) -> Chart:
    """The chance of each of the child's steps: with the help offered now, and alone."""
    plan = evidence.plan
    offered = {step.step_id: step.help_level for step in plan.steps.all() if step.asked} if plan else {}
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
    band = (plan.band_low, plan.band_high) if plan else None
    return chances(steps, skill=evidence.skill.name, top=found.ladder.top, band=band, medium=medium)


def _levels(
    values: Sequence[tuple[float, float, float]], offered: int | None, ladder: Ladder
) -> tuple[LevelChance, ...]:
    shown = sorted({ladder.top, offered if offered is not None else ladder.top})
    return tuple(LevelChance(level, ladder.name(level), *values[level]) for level in shown)


def _course(evidence: Evidence) -> Course | None:
    """The asked step that is taught now (the first asked that is least sure), and how its chance went."""
    asked = [step.step_id for step in evidence.homes[-1].asked] if evidence.homes else []
    if not asked or not evidence.log.entries():
        return None
    setting = setting_of(evidence.skill, latest_version(evidence.skill), evidence.plan)
    told = belief_over_time(evidence.log, setting, asked, MOST_DAYS)
    courses = {step: days for step, days in told.items() if days}
    if not courses:
        return None
    step_id = min(courses, key=lambda name: courses[name][-1][1][0])
    name = next(step.name for step in evidence.version.steps if step.id == step_id)
    return name, [BeliefDay(day, *chance) for day, chance in courses[step_id]]


def words(evidence: Evidence) -> list[Sentence]:
    """What the record says, in sentences that name their data."""
    facts = report_facts(
        evidence.log,
        evidence.version,
        evidence.homes,
        evidence.ladder.top,
        carry_over_from=evidence.carry_over_from,
    )
    return paragraph(facts, child=evidence.skill.child.name)


def print_graph(evidence: Evidence) -> Chart:
    """The graph as it stands on paper."""
    return graph(evidence, PRINT)
