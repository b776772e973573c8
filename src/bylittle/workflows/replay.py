"""A whole practice log through one tracker, also where steps were split or put together on the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from bylittle.core.advice import SkillTracker
from bylittle.core.practice.log import Entry, PracticeLog


@dataclass(frozen=True, slots=True)
class StepChange:
    """Steps that gave way to others: `before`, the ids taught until then, in order.

    `origins`: id of a step of the next version -> ids of the steps it comes from; one that is left out is the
    step of its own id, or a new one. The same step named twice is one that was split.
    """

    before: tuple[str, ...]
    origins: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def told(self, after: Sequence[str]) -> list[tuple[int, ...]]:
        """For each step after the change the places of those before; unknown ids are nothing to come from."""
        places = {step_id: place for place, step_id in enumerate(self.before)}
        named = [self.origins.get(step_id, (step_id,)) for step_id in after]
        return [tuple(places[each] for each in ids if each in places) for ids in named]


@dataclass(slots=True)
class Course:
    """Where a replay stands: the tracker, the steps it knows now and those to come, and what was counted."""

    tracker: SkillTracker
    stages: tuple[tuple[str, ...], ...]
    changes: tuple[StepChange, ...]
    top: int
    stage: int = 0
    telling: int = 0
    passed_over: int = 0
    days: set[date] = field(default_factory=set)

    @property
    def places(self) -> dict[str, int]:
        """Place of each step that is known now, by its id."""
        return {step_id: place for place, step_id in enumerate(self.stages[self.stage])}

    def enter(self, day: date, entries: Sequence[Entry]) -> None:
        """One turn; one of later steps brings the change to them first."""
        self._forward_to(entries)
        places = self.places
        known = [entry for entry in entries if entry.step_id in places]
        self.passed_over += len(entries) - len(known)
        if known:
            marks = [entry.mark(places[entry.step_id], self.top) for entry in known]
            self.telling += self.tracker.record(day.toordinal(), marks).telling
            self.days.add(day)

    def finish(self) -> None:
        """All changes are made, also those that no practice followed yet."""
        while self.stage < len(self.changes):
            self._change()

    def _forward_to(self, entries: Sequence[Entry]) -> None:
        unknown = {entry.step_id for entry in entries} - set(self.stages[self.stage])
        later = [n for n, ids in enumerate(self.stages) if n > self.stage and unknown & set(ids)]
        while later and self.stage < later[0]:
            self._change()

    def _change(self) -> None:
        change = self.changes[self.stage]
        self.stage += 1
        self.tracker.change_steps(change.told(self.stages[self.stage]))


def begin(tracker: SkillTracker, changes: Sequence[StepChange], taught: Sequence[str], top: int) -> Course:
    """A course at its start; `tracker` has as many steps as were taught first, `taught`: the ids of now."""
    stages = (*(change.before for change in changes), tuple(taught))
    return Course(tracker, stages, tuple(changes), top)


def by_day(course: Course, log: PracticeLog) -> Iterator[date]:
    """Enter the log turn by turn; each day is told once all its turns are in."""
    last: date | None = None
    for day, entries in log.turns():
        if last is not None and day != last:
            yield last
        course.enter(day, entries)
        last = day
    if last is not None:
        yield last
