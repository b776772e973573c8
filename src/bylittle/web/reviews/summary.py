"""Progress as PDF, from the same evidence and words as the review: a page, and what is behind its advice."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bylittle.charts import PRINT
from bylittle.library.wording import chance, told_day
from bylittle.library.wording.advice import decision_title, help_phrase
from bylittle.printing.press import press
from bylittle.printing.setting import Paper
from bylittle.printing.summary import Behind, Drawing, StepLine, Summary, summary_pdf
from bylittle.web.people.models import Person
from bylittle.web.plans.queries import draft_plan, plans_of, signed_plan
from bylittle.web.reviews import pictures, shown
from bylittle.web.reviews.advice import challenge_of
from bylittle.web.reviews.models import Review
from bylittle.web.reviews.rests_on import rests_on
from bylittle.web.reviews.services import what_if
from bylittle.web.skills.models import Skill
from bylittle.workflows.advise_log import AdvisedLog, StepOutlook

HONESTY = (
    "One baseline and one teaching phase are progress monitoring, not proof of cause.",
    "A chance is for a typical day; the range beside it holds it nine times in ten. It comes from a model "
    "tried on simulated children and knows only what was written down.",
    "A day without practice is unknown, not a no. Reported is drawn open, observed filled.",
    "Bylittle advises; a licensed therapist decides.",
)
MOST_DECISIONS = 4
LIES = {"hard": "likely too hard", "right": "just right", "easy": "likely easy", "stands": "mostly there"}


def pdf(skill: Skill, found: AdvisedLog, paper: Paper, by: Person) -> bytes:
    """The page of a skill as it stands today."""
    evidence = pictures.evidence_of(skill)
    told = shown.advice(found, skill.child)
    chart = pictures.print_graph(evidence)
    reviews = list(skill.reviews.select_related("by").order_by("-pk")[:MOST_DECISIONS])
    summary = Summary(
        title=f"{skill.child.name}: {skill.name}",
        about=_about(skill, evidence, found.on),
        advice=f"{told.title}. {told.explained}",
        why=told.why,
        graph=Drawing(chart.svg(), chart.description),
        told=tuple(sentence.text for sentence in pictures.words(evidence)),
        steps=tuple(_line(step, evidence) for step in found.steps),
        decisions=tuple(_decision(review) for review in reviews),
        honesty=HONESTY,
        behind=_behind(skill, evidence, found, told),
        foot=f"{by.shown_name}, {told_day(found.on)}, from {found.marks} marks. Not a signed report.",
    )
    return summary_pdf(summary, paper, press())


def _behind(skill: Skill, evidence: pictures.Evidence, found: AdvisedLog, told: shown.Told) -> Behind:
    chances = pictures.chance_chart(evidence, found, PRINT)
    course = pictures.belief_chart(evidence, PRINT)
    table = shown.level_table(found)
    return Behind(
        change=told.change,
        patterns=tuple(
            f"{seen.title}. {seen.text} It would go with: {seen.change}" for seen in told.patterns
        ),
        rests_on=tuple(rests_on(evidence, found)),
        chances=Drawing(chances.svg(), chances.description),
        levels=(table.head, table.rows),
        belief=Drawing(course[1].svg(), course[1].description) if course else None,
        belief_of=course[0] if course else "",
        next=tuple(_next(skill, found)),
        ahead=told.ahead,
        gap=told.gap,
    )


def _next(skill: Skill, found: AdvisedLog) -> Iterator[str]:
    """What the draft, or else the proposed challenge, would mean: each step and the load."""
    plans = plans_of(skill)
    plan = draft_plan(plans) or signed_plan(plans)
    if plan is None:
        return
    asked = {step.step_id: step.help_level for step in plan.steps.all() if step.help_level is not None}
    challenge = asked if not plan.signed else challenge_of(found)
    meant = what_if(found, challenge, plan, (plan.band_low, plan.band_high))
    for row in meant.rows:
        helped = help_phrase(found.ladder.name(row["level"]))
        yield f"{row['step'].name}, {helped}: {chance(*row['chance'])}, {LIES[row['lies']]}."
    if meant.rows:
        yield shown.load(meant)


def _about(skill: Skill, evidence: pictures.Evidence, on: date) -> str:
    years, months = skill.child.age_on(on)
    plan = f"plan {evidence.plan.number}" if evidence.plan else "no plan yet"
    return f"{years} y {months} m, {skill.get_state_display()}, {plan}, {told_day(on)}"


def _line(step: StepOutlook, evidence: pictures.Evidence) -> StepLine:
    return StepLine(step.number, step.name, _who(step, evidence), _chance(step), _stands(step))


def _who(step: StepOutlook, evidence: pictures.Evidence) -> str:
    asked = {each.step_id: each.help_level for each in evidence.homes[-1].asked} if evidence.homes else {}
    level = asked.get(step.step_id)
    return evidence.ladder.name(level) if level is not None else "done by adult"


def _chance(step: StepOutlook) -> str:
    if not step.chances:
        return "always the adult's"
    return chance(*step.chances[-1])


def _stands(step: StepOutlook) -> str:
    if step.mastered:
        return "called; a probe confirms"
    return "probably ready: probe" if step.probably_ready else ""


def _decision(review: Review) -> str:
    advised = f" (advised: {decision_title(review.advised).lower()})" if review.overridden else ""
    reason = f" {review.reason}" if review.reason else ""
    decided = f"{decision_title(review.decided)}{advised}"
    return f"{told_day(review.on)}: {decided}, {review.by.shown_name}.{reason}"
