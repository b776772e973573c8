"""How the belief in a step went, day by day: for the drawing beside the advice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from bylittle.core.advice import SkillTracker
from bylittle.core.learning.forecast import Chance
from bylittle.core.practice.log import PracticeLog
from bylittle.workflows.advise_log import AdviceSetting, places_taught, tracker_for


def belief_over_time(
    log: PracticeLog, setting: AdviceSetting, step_ids: Sequence[str], most: int
) -> dict[str, list[tuple[date, Chance]]]:
    """The chance alone of some steps as it was believed after the entries of each day.

    At most about `most` days, evenly taken from the log, the last one always among them. Steps that this
    version does not teach are left out.
    """
    places, top = places_taught(setting.version), setting.ladder.top
    asked = [step for step in step_ids if step in places]
    shown = _shown(log, places, most)
    courses: dict[str, list[tuple[date, Chance]]] = {step: [] for step in asked}
    for day, tracker in _day_by_day(log, setting):
        if day in shown:
            for step in asked:
                courses[step].append((day, tracker.chance(places[step], top, day.toordinal())))
    return courses


def _shown(log: PracticeLog, places: dict[str, int], most: int) -> set[date]:
    days = sorted({entry.day for entry in log.entries() if entry.step_id in places})
    every = max(1, -(-len(days) // most))
    return {days[-1 - back] for back in range(0, len(days), every)}


def _day_by_day(log: PracticeLog, setting: AdviceSetting) -> Iterator[tuple[date, SkillTracker]]:
    places, top = places_taught(setting.version), setting.ladder.top
    tracker = tracker_for(setting)
    for day, turns in groupby(log.turns(), key=lambda turn: turn[0]):
        for _, entries in turns:
            marks = [entry.mark(places[entry.step_id], top) for entry in entries if entry.step_id in places]
            if marks:
                tracker.record(day.toordinal(), marks)
        yield day, tracker
