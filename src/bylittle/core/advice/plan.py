"""What the therapist set: direction, band, new steps at once, how often, and the mastery criterion."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bylittle.core.advice.words import Every, Goal
from bylittle.core.faults import BadValue
from bylittle.core.learning.mastery import STATISTICAL, Criterion

MOST_NEW = {Goal.BACKWARD: 1, Goal.FORWARD: 1, Goal.WHOLE: 3}


@dataclass(frozen=True, slots=True)
class Teaching:
    """The frame of advice. `band`: predicted success wanted; `max_new_steps`: not yet mastered steps at once.

    `leap_ahead`: a chain passes over steps that go alone already (alone is just right for them).
    `aim`: where in the band a challenge should lie, as a share of its width from below; higher for a plan
    that stands a week, since what is asked then cannot be eased on the way.
    """

    goal: Goal = Goal.WHOLE
    band: tuple[float, float] = (0.70, 0.90)
    max_new_steps: int = 3
    every: Every = Every.DAY
    mastery: Criterion = STATISTICAL
    aim: float = 0.3
    aim_in_a_week: float = 0.5
    alone_margin: float = 0.0
    coming_at: float = 0.50
    coming_whole: float = 0.20
    coming_in_a_week: float = 0.15
    leap_ahead: bool = False

    @property
    def new_below(self) -> float:
        """Chance alone below which a step counts among the new ones."""
        return self.coming_whole if self.goal is Goal.WHOLE else self.coming_at

    @property
    def target(self) -> float:
        """The success that help is chosen for."""
        low, high = self.band
        aim = self.aim_in_a_week if self.every is Every.WEEK else self.aim
        return low + aim * (high - low)


def teaching(
    goal: str = "whole",
    band: tuple[float, float] = (0.70, 0.90),
    max_new_steps: int | None = None,
    advice_every: str = "day",
    mastery: tuple[float, float, int] = (0.85, 0.90, 3),
    leap_ahead: bool = False,
) -> Teaching:
    """A checked `Teaching` from plain values; BadValue names what is not permitted."""
    direction = _direction(goal)
    low, high = _band(band)
    most = MOST_NEW[direction] if max_new_steps is None else max_new_steps
    if isinstance(most, bool) or not isinstance(most, int | np.integer) or most < 1:
        raise BadValue("out_of_range", name="max_new_steps", value=max_new_steps, allowed=(1, None))
    every = _every(advice_every)
    chance, sure, days = mastery
    if leap_ahead and direction is Goal.WHOLE:
        allowed = (Goal.BACKWARD.value, Goal.FORWARD.value)
        raise BadValue("leap_ahead_of_whole", name="goal", value=goal, allowed=allowed)
    mastered = Criterion(chance, sure, days)
    return Teaching(direction, (low, high), int(most), every, mastered, leap_ahead=leap_ahead)


def _direction(value: str) -> Goal:
    try:
        return Goal(value)
    except ValueError:
        raise BadValue("unknown_word", name="goal", value=value, allowed=tuple(map(str, Goal))) from None


def _every(value: str) -> Every:
    try:
        return Every(value)
    except ValueError:
        allowed = tuple(map(str, Every))
        raise BadValue("unknown_word", name="advice_every", value=value, allowed=allowed) from None


def _band(band: tuple[float, float]) -> tuple[float, float]:
    low, high = band
    if not 0.0 < low < high < 1.0:
        raise BadValue("band", name="band", value=band, allowed="0 < low < high < 1")
    return float(low), float(high)
