"""Which decision: the first rule that holds, with its numbers. A pure function of its context."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from bylittle.core.advice.challenge import Challenge
from bylittle.core.advice.facts import Facts, StepFacts, Stops
from bylittle.core.advice.patterns import Pattern, PatternKind
from bylittle.core.advice.plan import Teaching
from bylittle.core.advice.words import Decision, Why

LITTLE_DOUBT = 0.90
FEWEST_MARKS = 6
FEWEST_DAYS = 3
LONGEST_SILENCE = 14
FEWEST_BASELINE = 3
WANTED_BASELINE = 5
RISING_PAIRS = 0.6  # more of the pairs rise than fall by this share: all rise less all fall
RISING_GAIN = 0.1
STOPS_A_SITTING = 2
LEAST_PART = 0.25  # of the turns, from which one adult's way of helping can hold a step back


@dataclass(frozen=True, slots=True)
class Context:
    """Everything a decision may rest on."""

    day: int
    plan: Teaching
    facts: Facts
    steps: tuple[StepFacts, ...]
    challenge: Challenge
    stops: Stops
    marks: int
    practice_days: int
    last_day: int | None
    top: int
    patterns: tuple[Pattern, ...] = field(default_factory=tuple)

    def pattern(self, kind: PatternKind) -> Pattern | None:
        """The pattern of that kind, if it was found."""
        return next((found for found in self.patterns if found.kind is kind), None)


@dataclass(frozen=True, slots=True)
class Decided:
    """The decision and its reasons, most important first."""

    decision: Decision
    why: tuple[Why, ...]


Rule = Callable[[Context], Why | None]


def decide(context: Context) -> Decided:
    """The first decision of marks' order that holds, with the reason that made it hold."""
    for decision, rules in RULES:
        why = tuple(found for rule in rules if (found := rule(context)) is not None)
        if why:
            return Decided(decision, (*why, *_leapt(context, decision)))
    return Decided(Decision.HOLD, (_hold(context), *_leapt(context, Decision.HOLD)))


def _leapt(context: Context, decision: Decision) -> tuple[Why, ...]:
    """Steps that the chain passes over wait for a probe: only that shows whether they go alone."""
    steps = context.challenge.leapt
    if not steps or decision in (Decision.REFER, Decision.PAUSE, Decision.DONE):
        return ()
    chances = [chance for step in steps if (chance := context.challenge.predicted[step]) is not None]
    values = {"steps": tuple(sorted(steps)), "chance": min(chances), "bar": context.plan.band[0]}
    return (Why("leapt_ahead", values),)


def _red_flag(context: Context) -> Why | None:
    flags = context.facts.red_flags
    return Why("red_flag_yes", {"flags": flags, "n": len(flags), "bar": 1}) if flags else None


def _lost_step(context: Context) -> Why | None:
    lost = context.facts.lost_steps
    if lost:
        return Why("mastered_step_lost", {"steps": lost, "bar": 1})
    found = context.pattern(PatternKind.LOSS)
    return Why("mastered_step_lost", {"steps": found.steps, **found.values}) if found else None


def _two_stops_twice(context: Context) -> Why | None:
    stops = context.stops.stops
    if len(stops) >= 2 and min(stops[-2:]) >= STOPS_A_SITTING:
        values = {"stops": stops[-2:], "days": context.stops.days[-2:], "bar": STOPS_A_SITTING}
        return Why("stops_on_two_days", values)
    return None


def _stops_rising(context: Context) -> Why | None:
    found = context.pattern(PatternKind.STOPS_RISING)
    return Why("stops_rising", found.values) if found else None


def _silence(context: Context) -> Why | None:
    if context.last_day is None:
        return Why("nothing_logged", {"needed": FEWEST_MARKS, "needed_days": FEWEST_DAYS})
    silent = context.day - context.last_day
    if silent > LONGEST_SILENCE:
        return Why("silent_for_days", {"days": silent, "bar": LONGEST_SILENCE})
    return None


def _few_marks(context: Context) -> Why | None:
    if context.last_day is None:  # told already: nothing is written down
        return None
    if context.marks >= FEWEST_MARKS and context.practice_days >= FEWEST_DAYS:
        return None
    values = {
        "marks": context.marks,
        "needed": FEWEST_MARKS,
        "days": context.practice_days,
        "needed_days": FEWEST_DAYS,
    }
    return Why("few_marks", values)


def _short_baseline(context: Context) -> Why | None:
    points = context.facts.baseline
    if points is None or len(points) >= FEWEST_BASELINE:
        return None
    return Why("baseline_short", {"n": len(points), "needed": FEWEST_BASELINE, "wanted": WANTED_BASELINE})


def _rising_baseline(context: Context) -> Why | None:
    points = context.facts.baseline
    if points is None or len(points) < FEWEST_BASELINE:
        return None
    last = np.asarray(points[-WANTED_BASELINE:])
    pairs = [later - earlier for i, earlier in enumerate(last) for later in last[i + 1 :]]
    rising = float(np.mean(np.sign(pairs)))
    gain = float(last[-1] - last[0])
    if rising < RISING_PAIRS or gain < RISING_GAIN:
        return None
    values = {"n": len(points), "share_rising": rising, "gain": gain}
    bars = {"bar": RISING_PAIRS, "gain_bar": RISING_GAIN, "needed": FEWEST_BASELINE}
    return Why("baseline_rising", values | bars)


def _all_mastered(context: Context) -> Why | None:
    """Mastered with an easier material than that of daily life is not done yet."""
    if context.facts.easier_material or not all(step.standing.met for step in context.steps):
        return None
    shares = tuple(step.standing.share for step in context.steps)
    criterion = context.plan.mastery
    values = {
        "steps": len(context.steps),
        "least_share": min(shares),
        "least_days": min(step.standing.days for step in context.steps),
        "mastery_bar": criterion.sure,
        "mastery_chance": criterion.chance,
        "days_needed": criterion.days,
    }
    return Why("every_step_mastered", values)


def _step_called(context: Context) -> Why | None:
    """A step that is taught now is called, and the challenge takes up one that is not yet asked."""
    fresh = [step for step in context.challenge.new if context.steps[step].offered is None]
    called = [each for each in context.steps if each.standing.met and each.offered is not None]
    if not fresh or not called:
        return None
    newest = min(called, key=lambda each: each.standing.share)
    values = numbers(newest, context) | {"next": tuple(fresh), "called": tuple(s.step for s in called)}
    return Why("asked_step_called", values)


def _too_hard(context: Context) -> Why | None:
    hard = [step for step in _asked(context) if step.too_hard >= LITTLE_DOUBT]
    if not hard:
        return None
    return Why("asked_step_too_hard", numbers(max(hard, key=lambda step: step.too_hard), context))


def _reported_ahead(context: Context) -> Why | None:
    found = context.pattern(PatternKind.REPORTED_AHEAD)
    return Why("reported_ahead_of_observed", found.values) if found else None


def _flat_adults_differ(context: Context) -> Why | None:
    flat = context.pattern(PatternKind.PLATEAU)
    differ = context.pattern(PatternKind.ADULTS_DIFFER)
    if flat is None or not (differ or context.facts.adults_differ):
        return None
    told = dict(differ.values) if differ else {"told": True}
    return Why("flat_while_adults_differ", {**flat.values, **told, "steps": flat.steps})


def _flat_help_off_plan(context: Context) -> Why | None:
    """Flat while an adult who gives many of the turns helps otherwise than planned: look there first."""
    flat, low = context.pattern(PatternKind.PLATEAU), context.facts.low_fidelity
    if flat is None or low is None or low.turns < LEAST_PART * low.all_turns or low.turns == 0:
        return None
    values = {"adult": low.adult, "share": low.share, "adult_turns": low.turns, "all_turns": low.all_turns}
    return Why("flat_while_help_is_off_plan", {**flat.values, **values, "steps": flat.steps})


def _flat_doing(context: Context) -> Why | None:
    flat = context.pattern(PatternKind.PLATEAU)
    if flat is None or not context.facts.doing_breaks_down:
        return None
    return Why("flat_and_doing_breaks_down", {**flat.values, "steps": flat.steps})


def _easier_done(context: Context) -> Why | None:
    """An easier material has done its work: all that is asked with it stands at the weaker strength."""
    asked = _asked(context)
    bar = 0.80
    if not context.facts.easier_material or not asked:
        return None
    least = min(step.standing.share for step in asked)
    if least < bar:
        return None
    return Why("easier_material_done", {"steps": tuple(s.step for s in asked), "share": least, "bar": bar})


def _too_easy(context: Context) -> Why | None:
    easy = [
        step
        for step in _asked(context)
        if step.too_easy >= LITTLE_DOUBT and step.offered is not None and step.offered < context.top
    ]
    if not easy:
        return None
    return Why("asked_step_too_easy", numbers(max(easy, key=lambda step: step.too_easy), context))


def _hold(context: Context) -> Why:
    asked = [step for step in _asked(context) if not step.standing.met] or list(_asked(context))
    if not asked:
        return _nothing_asked(context)
    return Why("just_right", numbers(min(asked, key=lambda step: step.chance.mean), context))


def _nothing_asked(context: Context) -> Why:
    """Marks there are, all of them probes: no step was asked in practice since the plan began."""
    new = [step for step in context.challenge.new if context.challenge.levels[step] is not None]
    values: dict[str, object] = {"marks": context.marks, "days": context.practice_days, "bar": 1}
    if new:
        level, chance = context.challenge.levels[new[0]], context.challenge.predicted[new[0]]
        values |= {"step": new[0], "proposed": level, "proposed_chance": chance}
    return Why("nothing_asked", values)


def _asked(context: Context) -> tuple[StepFacts, ...]:
    return tuple(step for step in context.steps if step.offered is not None)


def numbers(step: StepFacts, context: Context) -> dict[str, object]:
    """What a sentence about one asked step may need, and what would change the advice."""
    low, high = context.plan.band
    criterion = context.plan.mastery
    return {
        "step": step.step,
        "level": step.offered,
        "chance": step.chance.mean,
        "low": step.chance.low,
        "high": step.chance.high,
        "turns": step.turns,
        "managed": step.managed,
        "days": step.days,
        "too_hard": step.too_hard,
        "too_easy": step.too_easy,
        "sure_bar": LITTLE_DOUBT,
        "band_low": low,
        "band_high": high,
        "proposed": context.challenge.levels[step.step],
        "proposed_chance": context.challenge.predicted[step.step],
        "mastery_share": step.standing.share,
        "mastery_bar": criterion.sure,
        "mastery_chance": criterion.chance,
        "days_alone": step.standing.days,
        "days_needed": criterion.days,
        "only_with": step.alone_with[0] if len(step.alone_with) == 1 else None,
        "only_at": step.alone_at[0] if len(step.alone_at) == 1 else None,
    }


RULES: tuple[tuple[Decision, tuple[Rule, ...]], ...] = (
    (Decision.REFER, (_red_flag, _lost_step)),
    (Decision.PAUSE, (_two_stops_twice, _stops_rising)),
    (Decision.MORE_DATA, (_silence, _few_marks, _short_baseline, _rising_baseline)),
    (Decision.DONE, (_all_mastered,)),
    (Decision.MOVE_ON, (_step_called,)),
    (Decision.STEP_BACK, (_too_hard,)),
    (Decision.CHECK_FIDELITY, (_reported_ahead, _flat_adults_differ, _flat_help_off_plan)),
    (Decision.CHANGE_MATERIAL, (_flat_doing, _easier_done)),
    (Decision.FADE_HELP, (_too_easy,)),
)
