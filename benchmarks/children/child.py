"""A virtual child: how likely is each asked step with each help, and what a turn changes.

*Reach* N of one asked step on one turn is the least help that would have been enough: 0 the fullest
help ... `top` alone. A child gives a curve for each step: `curve[l]` = P(N >= l), which never rises with
l and is 1 at l = 0. `today` is the curve of this turn of this day, which nobody can see; `typical` is its
average over the child's good and bad days and over the turns of a sitting: the *true chance*.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import exp

import numpy as np

Curve = Sequence[float]

STEPS, LEVELS = 5, 6
TOP = LEVELS - 1
USUAL_TURNS = 4
INDEPENDENT = 0.85


def logistic(x: float) -> float:
    """1 / (1 + exp(-x)), safe at both ends."""
    if x < -40.0:
        return 0.0
    return 1.0 / (1.0 + exp(-x))


@dataclass
class Away:
    """Days on which nothing is practised whatever the family does: first day, number of days."""

    first: int = 10_000
    days: int = 0

    def on(self, day: int) -> bool:
        """True on a day inside the break."""
        return self.first <= day < self.first + self.days


@dataclass
class Child:
    """Base of all kinds: subclasses say `typical_at`, `today_at`, `wake` and `practise`.

    `rng` drives the child alone. `crowding`: every further new step asked in a turn makes it likelier that
    an attempt teaches nothing, 1 - 1 / (1 + crowding x further steps). Whether real children are so is open.
    """

    rng: np.random.Generator
    n_steps: int = STEPS
    top: int = TOP
    away: Away = field(default_factory=Away)
    day: int = -1
    crowding: float = 0.12

    def typical_at(self, step: int, level: int) -> float:
        """True chance of `step` with `level`, averaged over days and turns of this child."""
        raise NotImplementedError

    def today_at(self, step: int, level: int, turn: int) -> float:
        """Chance on this very day and turn."""
        raise NotImplementedError

    def wake(self, day: int) -> None:
        """Live until `day`: called once for each calendar day, in order."""
        self.day = day
        self.overnight()

    def overnight(self) -> None:
        """What happens between two days: forgetting, a new mood, illness."""

    def practise(self, step: int, level: int, reach: int) -> None:
        """What one attempt with this help changes; `reach` is how it went."""

    def takes_in(self, new_steps: int) -> float:
        """Chance that an attempt teaches anything in a turn with so many new steps asked."""
        return 1.0 / (1.0 + self.crowding * max(0, new_steps - 1))

    def stop_chance(self, misses: int) -> float:
        """Chance to turn away after `misses` misses in this turn."""
        return 0.03 * max(0, misses - 1)

    def typical(self, step: int) -> list[float]:
        """The whole true curve of a step, levels 0..top."""
        return [self.typical_at(step, level) for level in range(self.top + 1)]

    def alone(self, step: int) -> float:
        """True chance alone."""
        return self.typical_at(step, self.top)

    def attempt(self, step: int, level: int, turn: int, luck: float) -> int:
        """Reach of an attempt with `level`; the same as `reach` unless the help levels are out of order."""
        return self.reach(step, turn, luck)

    def reach(self, step: int, turn: int, luck: float) -> int:
        """Reach of this attempt for a uniform number `luck`: the highest level whose chance exceeds it."""
        for level in range(self.top, 0, -1):
            if luck < self.today_at(step, level, turn):
                return level
        return 0


def spread(values: Sequence[float], weights: Sequence[float]) -> list[tuple[float, float]]:
    """Points and weights of an average, weights made to sum to one."""
    total = float(sum(weights))
    return [(float(v), float(w) / total) for v, w in zip(values, weights, strict=True)]


def normal_points(sd: float, n: int = 7) -> list[tuple[float, float]]:
    """Gauss-Hermite points and weights of a normal day effect with mean 0."""
    x, w = np.polynomial.hermite_e.hermegauss(n)
    return spread([sd * float(v) for v in x], [float(v) for v in w])
