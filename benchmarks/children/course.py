"""Twelve weeks of one child with one rule: days, turns, marks, and what was true all along."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from benchmarks.children.child import INDEPENDENT, Child
from benchmarks.children.family import home_mark, ladder_mark, probe_mark, silent_mark
from benchmarks.children.kinds import Kind, make, stream
from benchmarks.children.rules import Plan, Rule
from bylittle.core.practice.marks import Mark, Source, Status

WEEKS = 12
BASELINE_DAYS = 3
PROBE_EVERY = 7


@dataclass(frozen=True, slots=True)
class Setting:
    """How a course is run. `written`: "all" turns, or "first" of the day only (about one in five).
    `linger`: practice days to go on after the end has been reached."""

    weeks: int = WEEKS
    probes: bool = False
    written: str = "all"
    linger: int = 0
    until_end: bool = True


@dataclass(frozen=True, slots=True)
class Go:
    """One attempt at an asked step: `chance` and `alone` are true chances before it, `said` the forecast."""

    day: int
    turn: int
    step: int
    level: int
    managed: bool
    chance: float
    alone: float
    said: float | None


@dataclass(frozen=True, slots=True)
class Call:
    """A step newly called mastered, after so many turns; `alone` is its true chance then."""

    step: int
    turns: int
    alone: float


@dataclass
class Course:
    """What happened. `independent[k]`: turns until step k was truly independent, None where it was not."""

    kind: str
    number: int
    goes: list[Go] = field(default_factory=list)
    calls: list[Call] = field(default_factory=list)
    independent: list[int | None] = field(default_factory=list)
    all_independent: int | None = None
    turns: int = 0
    horizon: int = 0
    log: list[tuple[int, list[Mark]]] = field(default_factory=list)
    truth: dict[int, list[list[float]]] = field(default_factory=dict)
    patterns: list[tuple[int, tuple[str, ...]]] = field(default_factory=list)
    decisions: list[str] = field(default_factory=list)


class Run:
    """One course in the making."""

    def __init__(
        self, kind: Kind, seed: int, number: int, rule: Callable[[Child], Rule], setting: Setting
    ) -> None:
        self.child, self.family = make(kind, seed, number)
        self.rule = rule(self.child)
        self.setting = setting
        self.world = stream(seed, kind.name, number, "world")
        self.luck = stream(seed, kind.name, number, "luck")
        self.course = Course(kind.name, number, independent=[None] * self.child.n_steps)
        self.lingered = 0
        self.called = [False] * self.child.n_steps

    def run(self) -> Course:
        """Live through all days, or until every step is truly independent and called."""
        ended = False
        for day in range(self.setting.weeks * 7):
            missed = self.world.random() < self.family.missed_days
            turns = int(self.world.integers(self.family.turns[0], self.family.turns[1] + 1))
            if ended:
                self.course.horizon += 0 if missed else turns
                continue
            self.child.wake(day)
            if day < BASELINE_DAYS:
                self._probe(day, Source.BASELINE)
                continue
            if self.setting.probes and day % PROBE_EVERY == 0 and not self.child.away.on(day):
                self._probe(day, Source.PROBE)
            if missed or self.child.away.on(day):
                continue
            self.course.horizon += turns
            self._practice_day(day, turns)
            ended = self.setting.until_end and self._ended()
        return self.course

    def _ended(self) -> bool:
        if self.course.all_independent is None or not all(self.called):
            return False
        self.lingered += 1
        return self.lingered > self.setting.linger

    def _probe(self, day: int, source: Source) -> None:
        child, marks = self.child, []
        for step in range(child.n_steps):
            reach = child.reach(step, 0, float(self.luck.random()))
            marks.append(probe_mark(step, reach, child.top, self.luck, source))
        self._write(day, marks)

    def _write(self, day: int, marks: list[Mark]) -> None:
        self.rule.record(day, marks)
        self.course.log.append((day, marks))

    def _practice_day(self, day: int, turns: int) -> None:
        child, course = self.child, self.course
        course.truth[day] = [child.typical(k) for k in range(child.n_steps)]
        plan = self.rule.plan(day)
        course.patterns.append((day, plan.patterns))
        course.decisions.append(plan.decision)
        stops = 0
        for turn in range(turns):
            marks, stopped = self._turn(day, turn, plan)
            if self.setting.written == "all" or turn == 0:
                self._write(day, marks)
            self._look_at_truth()
            stops += stopped
            if stops == 2:
                break
        self._hear_calls(day)

    def _turn(self, day: int, turn: int, plan: Plan) -> tuple[list[Mark], bool]:
        adult = self.family.who(float(self.luck.random()))
        top, marks, misses, stopped = self.child.top, [], 0, False
        self.course.turns += 1
        levels = plan.turn(turn)
        new = sum(lv is not None and self.child.alone(k) < INDEPENDENT for k, lv in enumerate(levels))
        teaches = self.child.takes_in(new)
        for step, level in enumerate(levels):
            if level is None:
                marks.append(silent_mark(step, Status.ADULT, top, adult=adult.name))
                continue
            asked = top if plan.ladder else level
            if stopped:
                marks.append(silent_mark(step, Status.MISSING, top, asked, adult.name))
                continue
            if self.luck.random() < self.child.stop_chance(misses):
                stopped = True
                marks.append(silent_mark(step, Status.REFUSED, top, asked, adult.name))
                continue
            reach = self._attempt(day, turn, step, asked, plan, teaches)
            misses += reach < asked
            slip = float(self.luck.random())
            if plan.ladder:
                marks.append(ladder_mark(adult, step, reach, top, slip))
            elif asked == 0:
                marks.append(Mark(step, 0, Status.DONE, 0, top, adult=adult.name))
            else:
                marks.append(home_mark(self.family, adult, step, asked, reach, top, slip))
        return marks, stopped

    def _attempt(self, day: int, turn: int, step: int, level: int, plan: Plan, teaches: float) -> int:
        child = self.child
        chance, alone = child.typical_at(step, level), child.alone(step)
        reach = child.attempt(step, level, turn, float(self.luck.random()))
        said = plan.predicted[step] if plan.predicted else None
        self.course.goes.append(Go(day, turn, step, level, reach >= level, chance, alone, said))
        if self.luck.random() < teaches:
            child.practise(step, reach if plan.ladder else level, reach)
        return reach

    def _look_at_truth(self) -> None:
        alone = [self.child.alone(k) for k in range(self.child.n_steps)]
        for k, p in enumerate(alone):
            if p >= INDEPENDENT and self.course.independent[k] is None:
                self.course.independent[k] = self.course.turns
        if self.course.all_independent is None and min(alone) >= INDEPENDENT:
            self.course.all_independent = self.course.turns

    def _hear_calls(self, day: int) -> None:
        now = self.rule.called(day)
        for k, called in enumerate(now):
            if called and not self.called[k]:
                self.course.calls.append(Call(k, self.course.turns, self.child.alone(k)))
        self.called = now


def live(
    kind: Kind,
    seed: int,
    number: int,
    rule: Callable[[Child], Rule],
    setting: Setting | None = None,
) -> Course:
    """The course of child `number` of a kind under a rule."""
    return Run(kind, seed, number, rule, setting or Setting()).run()
