"""One page of progress as PDF, from the same evidence and words as the review."""

from __future__ import annotations

from datetime import date

from bylittle.library.wording import percent, told_day
from bylittle.library.wording.advice import decision_title
from bylittle.printing.press import press
from bylittle.printing.setting import Paper
from bylittle.printing.summary import Drawing, StepLine, Summary, summary_pdf
from bylittle.web.people.models import Person
from bylittle.web.reviews import pictures, shown
from bylittle.web.reviews.models import Review
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
        foot=f"{by.shown_name}, {told_day(found.on)}, from {found.marks} marks. Not a signed report.",
    )
    return summary_pdf(summary, paper, press())


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
    mean, low, high = step.chances[-1]
    return f"{percent(mean)} ({percent(low)} to {percent(high)})"


def _stands(step: StepOutlook) -> str:
    if step.mastered:
        return "called; a probe confirms"
    return "probably ready: probe" if step.probably_ready else ""


def _decision(review: Review) -> str:
    advised = f" (advised: {decision_title(review.advised).lower()})" if review.overridden else ""
    reason = f" {review.reason}" if review.reason else ""
    decided = f"{decision_title(review.decided)}{advised}"
    return f"{told_day(review.on)}: {decided}, {review.by.shown_name}.{reason}"
