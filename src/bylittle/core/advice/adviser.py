"""Advice for one day: a pure function of the state, the plan and the facts people told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bylittle.core.advice import patterns_in_time, patterns_of_help, patterns_of_steps, patterns_to_ask
from bylittle.core.advice.challenge import Challenge, choose, for_a_week
from bylittle.core.advice.decision import Context, Decided, decide
from bylittle.core.advice.facts import DONE, Facts, rows_since, step_facts, stops_by_day
from bylittle.core.advice.if_then import IfThen, rules_for
from bylittle.core.advice.patterns import Look, Pattern, look
from bylittle.core.advice.plan import Teaching
from bylittle.core.advice.words import Decision, Every, Goal, Why
from bylittle.core.learning.forecast import Outlook, means, outlook, outlook_ahead
from bylittle.core.learning.history import Rows
from bylittle.core.learning.mastery import PROBABLY, standing
from bylittle.core.learning.tracker import State, share_of_effort
from bylittle.core.stats.ordinal import Floats

MIDWEEK = 3
MIDWEEK_DAYS = 2.5  # practice days until then, where most days are kept


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do next, and why. `levels`: None where an adult does the step, else the help to offer.

    `ladder`: True where asked steps are done least-to-most from alone: where all of them are asked alone, a
    go that does not work out then tells the least help that was enough. `predicted`: chance of success
    of each asked step with its help. `rules`: what the family may do by itself until the next advice.
    """

    day: int
    levels: tuple[int | None, ...]
    predicted: tuple[float | None, ...]
    decision: Decision
    why: tuple[Why, ...]
    patterns: tuple[Pattern, ...]
    ladder: bool = False
    rules: tuple[IfThen, ...] = ()

    def for_turn(self, turn: int) -> tuple[int | None, ...]:
        """Levels of the day's turn number `turn`, from 0."""
        return self.levels


def advise(
    state: State, plan: Teaching, day: int, facts: Facts | None = None, view: Outlook | None = None
) -> Advice:
    """Advice for `day`. Idempotent: the same state, plan, day and facts give the same advice.

    `view` is the outlook on that day, where the caller has it already.
    """
    told = facts or Facts()
    view = view or outlook(state, day)
    rows = rows_since(state, told.plan_since)
    chances = means(view)
    mastered, tried = called(state, view, plan), tried_steps(state)
    challenge = choose(chances, mastered, plan, coming(state, chances, plan, tried))
    if plan.every is Every.WEEK:
        ahead = _midweek(state, view.day, challenge)
        challenge = choose(chances, mastered, plan, coming(state, ahead, plan, tried, plan.coming_in_a_week))
        challenge = for_a_week(challenge, chances, _midweek(state, view.day, challenge), plan)
    patterns = find_patterns(look(rows, view, state.names[0]))
    decided = decide(_context(state, view, rows, plan, told, challenge, patterns))
    return _advice(view, challenge, decided, patterns)


def _midweek(state: State, day: int, challenge: Challenge) -> Floats:
    """Mean chances in the middle of a week in which the challenge is practised as often as is usual."""
    prior, top = state.settings.prior, state.settings.top
    efforts = [
        0.0 if level is None else MIDWEEK_DAYS * prior.usual_goes * share_of_effort(prior, level, top)
        for level in challenge.levels
    ]
    return means(outlook_ahead(state, day, MIDWEEK, efforts))


def called(state: State, view: Outlook, plan: Teaching) -> tuple[bool, ...]:
    """The statistical call for each step."""
    steps = range(state.settings.n_steps)
    return tuple(standing(state, view, step, plan.mastery).met for step in steps)


def tried_steps(state: State) -> frozenset[int]:
    """Steps of which any mark of the last turns says something."""
    rows = rows_since(state, None)
    return frozenset(rows.step[rows.status == DONE].tolist())


def coming(
    state: State, chances: Floats, plan: Teaching, tried: frozenset[int], bar: float | None = None
) -> tuple[bool, ...]:
    """Steps that are no longer new, though not yet called: they leave room for another one.

    In a chain the next step waits until this one goes alone more often than not, seen on two days. Where the
    whole task is practised, a step that was tried and goes alone in one of five turns is new no more (`bar`:
    another share). A plan for a week looks at its middle and asks less: it cannot take a step up on the way.
    """
    if plan.goal is Goal.WHOLE:
        least = plan.new_below if bar is None else bar
        return tuple(step in tried and bool(chance >= least) for step, chance in enumerate(chances[:, -1]))
    return tuple(
        bool(chances[step, -1] >= plan.new_below) and len(days) >= PROBABLY.days
        for step, days in enumerate(state.alone_days)
    )


FINDERS: tuple[Callable[[Look], Pattern | None], ...] = (
    patterns_in_time.loss,
    patterns_in_time.plateau,
    patterns_in_time.warms_up_or_tires,
    patterns_in_time.swings,
    patterns_in_time.easier_unsaid,
    patterns_of_help.leans_on_help,
    patterns_of_help.level_without_use,
    patterns_of_help.level_out_of_place,
    patterns_of_help.adults_differ,
    patterns_of_help.reported_ahead,
    patterns_of_steps.steps_together,
    patterns_of_steps.step_to_split,
    patterns_to_ask.a_small_experiment,
)


def find_patterns(seen: Look) -> tuple[Pattern, ...]:
    """All patterns that their tests find."""
    found = [patterns_in_time.stops_rising(stops_by_day(seen.rows))]
    found += [finder(seen) for finder in FINDERS]
    return tuple(each for each in found if each is not None)


def _context(
    state: State,
    view: Outlook,
    rows: Rows,
    plan: Teaching,
    told: Facts,
    challenge: Challenge,
    patterns: tuple[Pattern, ...],
) -> Context:
    done = rows.where(rows.status == DONE)
    return Context(
        day=view.day,
        plan=plan,
        facts=told,
        steps=step_facts(state, view, rows, plan),
        challenge=challenge,
        stops=stops_by_day(rows),
        marks=len(done),
        practice_days=len(set(done.day.tolist())),
        last_day=state.day,
        top=state.settings.top,
        patterns=patterns,
    )


def _advice(view: Outlook, challenge: Challenge, decided: Decided, patterns: tuple[Pattern, ...]) -> Advice:
    return Advice(
        day=view.day,
        levels=challenge.levels,
        predicted=challenge.predicted,
        decision=decided.decision,
        why=decided.why,
        patterns=patterns,
        ladder=_from_alone(challenge, view.settings.top),
        rules=rules_for(challenge, view.settings.top),
    )


def _from_alone(challenge: Challenge, top: int) -> bool:
    asked = {level for level in challenge.levels if level is not None}
    return asked == {top}
