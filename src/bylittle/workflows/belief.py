"""How the belief in a step went, day by day: for the drawing beside the advice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bylittle.core.learning.forecast import Chance
from bylittle.core.practice.log import PracticeLog
from bylittle.workflows.advise_log import AdviceSetting, course_for, places_taught
from bylittle.workflows.replay import by_day


def belief_over_time(
    log: PracticeLog, setting: AdviceSetting, step_ids: Sequence[str], most: int
) -> dict[str, list[tuple[date, Chance]]]:
    """The chance alone of some steps as it was believed after the entries of each day.

    At most about `most` days, evenly taken from the log, the last one always among them. Steps that this
    version does not teach are left out, and a step that came later has days from then on.
    """
    taught, top = places_taught(setting.version), setting.ladder.top
    asked = [step for step in step_ids if step in taught]
    course = course_for(setting)
    ever = {step for stage in course.stages for step in stage}
    shown = _shown(log, ever, most)
    courses: dict[str, list[tuple[date, Chance]]] = {step: [] for step in asked}
    for day in by_day(course, log):
        if day in shown:
            for step in asked:
                if (place := course.places.get(step)) is not None:
                    courses[step].append((day, course.tracker.chance(place, top, day.toordinal())))
    return courses


def _shown(log: PracticeLog, taught: set[str], most: int) -> set[date]:
    days = sorted({entry.day for entry in log.entries() if entry.step_id in taught})
    every = max(1, -(-len(days) // most))
    return {days[-1 - back] for back in range(0, len(days), every)}
