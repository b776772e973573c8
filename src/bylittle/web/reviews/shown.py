"""Advice, plans and decisions as the pages show them: core values put into words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from bylittle.charts import Table
from bylittle.core.advice import Decision, PatternKind, Why
from bylittle.core.evidence.facts import Kind
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.library.wording import advice as words
from bylittle.library.wording import ahead, chance, percent
from bylittle.library.wording.evidence import Sentence
from bylittle.web.people.models import Child
from bylittle.web.plans import procedures
from bylittle.web.plans.forms import ChallengeForm
from bylittle.web.plans.models import Plan
from bylittle.web.reviews.models import Review
from bylittle.web.reviews.services import WhatIf
from bylittle.web.skills.models import Closing
from bylittle.workflows.advise_log import AdvisedLog, StepOutlook


@dataclass(frozen=True, slots=True)
class SeenPattern:
    """A pattern in words: what, for the therapist, what would make it go away, and for the family."""

    title: str
    text: str
    change: str
    family: str


@dataclass(frozen=True, slots=True)
class Told:
    """Advice in words: what, why, what would change it, the patterns seen, and what the family may do by
    itself until the next look."""

    decision: Decision
    title: str
    explained: str
    why: tuple[str, ...]
    change: tuple[str, ...]
    patterns: tuple[SeenPattern, ...]
    family: str
    rules: tuple[str, ...] = ()
    ahead: tuple[str, ...] = ()
    gap: tuple[str, ...] = ()


GAP_TOLD = "reported_ahead_of_observed"
#: Reasons that tell a pattern in full: it is not told twice.
TELLS = {
    "mastered_step_lost": (PatternKind.LOSS,),
    "stops_rising": (PatternKind.STOPS_RISING,),
    GAP_TOLD: (PatternKind.REPORTED_AHEAD,),
    "flat_while_adults_differ": (PatternKind.PLATEAU, PatternKind.ADULTS_DIFFER),
    "flat_while_help_is_off_plan": (PatternKind.PLATEAU,),
    "flat_and_doing_breaks_down": (PatternKind.PLATEAU,),
}


def names_of(found: AdvisedLog, child: Child) -> words.Names:
    """What this child's plan calls its steps and levels."""
    return words.Names(tuple(step.name for step in found.steps), found.ladder.names, child.name)


def advice(found: AdvisedLog, child: Child) -> Told:
    """Today's advice in words."""
    names = names_of(found, child)
    return Told(
        decision=found.decision,
        title=words.decision_title(found.decision),
        explained=words.decision_explained(found.decision),
        why=tuple(words.sentence(why, names=names) for why in found.why),
        change=tuple(words.what_would_change(why, names=names) for why in found.why),
        patterns=_patterns(found, names),
        family=words.sentence(found.why[0], audience="family", names=names) if found.why else "",
        rules=tuple(words.if_then(rule, names=names) for rule in found.rules),
        ahead=ahead.whole_skill(found.ahead),
        gap=() if found.why and found.why[0].code == GAP_TOLD else ahead.gap(found.gap),
    )


def _patterns(found: AdvisedLog, names: words.Names) -> tuple[SeenPattern, ...]:
    told = {kind for why in found.why for kind in TELLS.get(why.code, ())}
    return tuple(
        SeenPattern(
            words.pattern_title(each.kind),
            words.pattern_sentence(each, names=names),
            words.pattern_change(each, names=names),
            words.pattern_sentence(each, audience="family", names=names),
        )
        for each in found.patterns
        if each.kind not in told
    )


def load(meant: WhatIf) -> str:
    """What a challenge asks for in all: how many goes would be managed, steps in a turn, goes in a day."""
    steps = f"{len(meant.rows)} step{'s' if len(meant.rows) != 1 else ''} asked in each turn"
    told = f"About {percent(meant.expected)} of goes would be managed. The load: {steps}, "
    return told + f"{meant.new} of them still new, {meant.goes_a_day} goes a day."


def level_table(found: AdvisedLog) -> Table:
    """The chance of each step with each help level, with its 90 % interval.

    The fullest help is left out, because it is always enough by its meaning.
    """
    head = ("Step", *found.ladder.names[1:])
    rows = [
        (f"{step.number}. {step.name}", *(chance(*told) for told in step.chances[1:]))
        for step in found.steps
        if step.chances
    ]
    return Table("Chance with each help level (range that holds it nine times in ten)", head, tuple(rows))


def goes(band: tuple[float, float]) -> str:
    """A band in plain words: 7 to 9 goes in ten."""
    low, high = (f"{10 * share:.2g}" for share in band)
    return f"{low} to {high} goes in ten"


def challenge_rows(form: ChallengeForm, found: AdvisedLog) -> list[dict[str, Any]]:
    """Each step of the draft with its choice of help and its chances."""
    outlooks: dict[str, StepOutlook] = {step.step_id: step for step in found.steps}
    proposed = {step.step_id: step.level for step in found.proposed}
    return [
        {
            "step": row,
            "field": form[row.step_id],
            "outlook": outlooks.get(row.step_id),
            "proposed": proposed.get(row.step_id),
        }
        for row in form.rows
    ]


def leap(plan: Plan, found: AdvisedLog) -> procedures.Spelt | None:
    """The hint to leap ahead, where known steps lie between others and it is not chosen; else None."""
    known = [step.mastered or step.probably_ready for step in found.steps if step.chances]
    hint = procedures.named(procedures.LEAP_AHEAD)
    if hint is None or plan.leap_ahead or not procedures.leaps_ahead(known):
        return None
    return procedures.spelt(hint, plan, "en")


def from_alone(plan: Plan, found: AdvisedLog) -> str:
    """The order of help to choose where every step proposed starts alone; empty where it is chosen."""
    chosen = plan.order_of_help == OrderOfHelp.LEAST_TO_MOST
    return str(OrderOfHelp.LEAST_TO_MOST) if found.least_to_most and not chosen else ""


@dataclass(frozen=True, slots=True)
class Evident:
    """A sentence of the record, and the first and last day of the marks that it rests on."""

    text: str
    first: date | None
    last: date | None


def evident(sentences: Iterable[Sentence]) -> list[Evident]:
    """Sentences with the days of the record that they can be checked against."""
    return [_evident(sentence) for sentence in sentences]


def _evident(sentence: Sentence) -> Evident:
    written = [source for source in sentence.refers_to if source.kind is not Kind.PLANS]
    firsts = [source.first for source in written if source.first is not None]
    lasts = [source.last for source in written if source.last is not None]
    return Evident(sentence.text, min(firsts, default=None), max(lasts, default=None))


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One line of the history: a plan, a decision, a closing or a taking up again, with its day."""

    day: date
    plan: Plan | None = None
    home: HomePlan | None = None
    review: Review | None = None
    closing: Closing | None = None
    title: str = ""
    advised: str = ""
    why: tuple[str, ...] = ()


def history(
    plans: Sequence[tuple[Plan, HomePlan]], reviews: Iterable[Review], closings: Iterable[Closing] = ()
) -> list[HistoryLine]:
    """Plans, decisions and closings together, newest first."""
    found = [
        HistoryLine(day=(plan.signed_at or plan.created).date(), plan=plan, home=home) for plan, home in plans
    ]
    latest = plans[-1][1] if plans else None
    found.extend(_review_line(review, latest) for review in reviews)
    found.extend(line for closing in closings for line in _closing_lines(closing))
    return sorted(found, key=_when, reverse=True)


def _when(line: HistoryLine) -> tuple[date, bool, bool]:
    """Of one day: the plan first, then the decision, then the closing."""
    return line.day, line.closing is not None, line.review is not None


def _closing_lines(closing: Closing) -> list[HistoryLine]:
    closed = HistoryLine(day=closing.on, closing=closing, title="Closed")
    if closing.reopened_on is None:
        return [closed]
    return [HistoryLine(day=closing.reopened_on, closing=closing, title="Taken up again"), closed]


def _review_line(review: Review, home: HomePlan | None) -> HistoryLine:
    names = words.Names(
        tuple(step.name for step in home.steps) if home else (),
        home.ladder.names if home else words.Names().levels,
    )
    return HistoryLine(
        day=review.on,
        review=review,
        title=words.decision_title(review.decided),
        advised=words.decision_title(review.advised),
        why=tuple(words.sentence(Why(**why), names=names) for why in review.advised_why),
    )
