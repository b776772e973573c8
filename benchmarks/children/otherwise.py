"""Family B: children who are no logistic curve over a hidden skill at all.

Chances come from states, thresholds, memories and moods. Sizes are invented.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from math import exp

import numpy as np
from scipy.special import betainc

from benchmarks.children.child import USUAL_TURNS, Child


def ramp(low: float, high: float, level: int, top: int, bend: float = 1.0) -> float:
    """From `high` at level 1 down to `low` at the top; 1 at level 0."""
    if level == 0:
        return 1.0
    return low + (high - low) * ((top - level) / (top - 1)) ** bend


@dataclass
class States(Child):
    """Hidden states of each step (two or three), each with its guess and slip at each help level.

    `tables[s]` = (chance alone, chance with level 1, bend); `hop` = chance to move on per go.
    """

    tables: tuple[tuple[float, float, float], ...] = ((0.08, 0.75, 1.2), (0.94, 0.985, 1.0))
    hop: float = 0.033
    state: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.state = [0] * self.n_steps
        self.hop *= float(np.exp(self.rng.normal(0, 0.3)))

    def typical_at(self, step: int, level: int) -> float:
        return ramp(*self.tables[self.state[step]][:2], level, self.top, self.tables[self.state[step]][2])

    def today_at(self, step: int, level: int, turn: int) -> float:
        return self.typical_at(step, level)

    def practise(self, step: int, level: int, reach: int) -> None:
        share = 0.4 + 0.6 * level / self.top
        worked = 1.0 if reach >= level else 0.6
        if self.state[step] < len(self.tables) - 1 and self.rng.random() < self.hop * share * worked:
            self.state[step] += 1


@dataclass
class ThreeStates(States):
    """Not yet, coming, has it."""

    tables: tuple[tuple[float, float, float], ...] = ((0.04, 0.7, 1.4), (0.42, 0.88, 1.0), (0.93, 0.99, 1.0))
    hop: float = 0.055


@lru_cache(maxsize=200_000)
def _above(mean: int, need: float) -> float:
    """P(ease > need) for a beta with this mean (in thousandths) and precision 5."""
    m = mean / 1000
    return float(1.0 - betainc(5 * m, 5 * (1 - m), need))


@dataclass
class Thresholds(Child):
    """Each go draws an ease between 0 and 1 from a beta; each help level has the ease that it needs."""

    needs: list[float] = field(default_factory=list)
    ease: list[float] = field(default_factory=list)
    gain: float = 0.024

    def __post_init__(self) -> None:
        self.needs = [0.0, *np.linspace(0.12, 0.5, self.top).tolist()]
        self.ease = [float(self.rng.uniform(0.12, 0.32)) for _ in range(self.n_steps)]
        self.gain *= float(np.exp(self.rng.normal(0, 0.25)))

    def typical_at(self, step: int, level: int) -> float:
        return 1.0 if level == 0 else _above(round(1000 * self.ease[step]), self.needs[level])

    def today_at(self, step: int, level: int, turn: int) -> float:
        return self.typical_at(step, level)

    def practise(self, step: int, level: int, reach: int) -> None:
        share = (0.3 + 0.7 * level / self.top) * (1.0 if reach >= level else 0.4)
        self.ease[step] += self.gain * share * (0.93 - self.ease[step])

    def overnight(self) -> None:
        self.ease = [max(0.08, e - 0.0015) for e in self.ease]


@dataclass
class Exemplars(Child):
    """Remembers its goes: each one that worked leaves a trace that fades by the day, part of it for good."""

    quick: list[float] = field(default_factory=list)
    lasting: list[float] = field(default_factory=list)
    worth: float = 0.04

    def __post_init__(self) -> None:
        self.quick = [0.0] * self.n_steps
        self.lasting = [float(self.rng.uniform(0.0, 0.25)) for _ in range(self.n_steps)]
        self.worth *= float(np.exp(self.rng.normal(0, 0.25)))

    def typical_at(self, step: int, level: int) -> float:
        if level == 0:
            return 1.0
        help_given = 1.5 * ((self.top - level) / (self.top - 1)) ** 1.3
        return 0.985 * (1 - exp(-(0.05 + self.lasting[step] + self.quick[step] + help_given)))

    def today_at(self, step: int, level: int, turn: int) -> float:
        return self.typical_at(step, level)

    def practise(self, step: int, level: int, reach: int) -> None:
        share = (0.25 + 0.75 * level / self.top) * (1.0 if reach >= level else 0.3)
        self.quick[step] += 0.5 * self.worth * share
        self.lasting[step] = min(3.5, self.lasting[step] + self.worth * share)

    def overnight(self) -> None:
        self.quick = [0.5 * q for q in self.quick]
        self.lasting = [0.995 * s for s in self.lasting]


@dataclass
class NeededHelp(Child):
    """Needs one certain level on a step; the need drops by one now and then, out of the blue."""

    need: list[int] = field(default_factory=list)
    drop: float = 0.07
    lapse: float = 0.06

    def __post_init__(self) -> None:
        self.need = [int(self.rng.integers(0, 3)) for _ in range(self.n_steps)]
        self.drop *= float(np.exp(self.rng.normal(0, 0.25)))

    def typical_at(self, step: int, level: int) -> float:
        if level == 0:
            return 1.0
        over = level - self.need[step]
        if over <= 0:
            return 1.0 - self.lapse * (1.0 if level == self.top else 0.6)
        return 0.22 if over == 1 else 0.04

    def today_at(self, step: int, level: int, turn: int) -> float:
        return self.typical_at(step, level)

    def practise(self, step: int, level: int, reach: int) -> None:
        near = 1.0 if abs(level - self.need[step]) <= 1 else 0.35
        if self.need[step] < self.top and self.rng.random() < self.drop * near:
            self.need[step] += 1


MOOD_MOVES = np.array([[0.75, 0.2, 0.05], [0.2, 0.6, 0.2], [0.1, 0.3, 0.6]])
MOOD_WORTH = (1.0, 0.95, 0.75)


def resting_share(moves: np.ndarray) -> list[float]:
    """Long-run share of each mood of a Markov chain."""
    values, vectors = np.linalg.eig(moves.T)
    v = np.real(vectors[:, int(np.argmax(np.real(values)))])
    return (v / v.sum()).tolist()


@dataclass
class Moody(Thresholds):
    """A mood of the day (good, so-so, bad) that tends to last; in a bad one much less works."""

    mood: int = 0
    shares: list[float] = field(default_factory=lambda: resting_share(MOOD_MOVES))
    gain: float = 0.03

    def _worth(self, level: int, mood: int) -> float:
        return MOOD_WORTH[mood] ** (0.5 + 0.5 * level / self.top)

    def typical_at(self, step: int, level: int) -> float:
        own = super().typical_at(step, level)
        return own if level == 0 else own * sum(s * self._worth(level, m) for m, s in enumerate(self.shares))

    def today_at(self, step: int, level: int, turn: int) -> float:
        own = Thresholds.typical_at(self, step, level)
        return own if level == 0 else own * self._worth(level, self.mood)

    def overnight(self) -> None:
        super().overnight()
        self.mood = int(self.rng.choice(3, p=MOOD_MOVES[self.mood]))


@dataclass
class WarmsUpAndTires(Exemplars):
    """The first turn of a sitting is worse, the third best, then the child tires."""

    turns_worth: tuple[float, ...] = (0.86, 0.97, 1.0, 0.92, 0.82, 0.75)
    worth: float = 0.055

    def typical_at(self, step: int, level: int) -> float:
        own = super().typical_at(step, level)
        return own if level == 0 else own * sum(self.turns_worth[:USUAL_TURNS]) / USUAL_TURNS

    def today_at(self, step: int, level: int, turn: int) -> float:
        own = Exemplars.typical_at(self, step, level)
        return own if level == 0 else own * self.turns_worth[min(turn, len(self.turns_worth) - 1)]


@dataclass
class Neighbours(ThreeStates):
    """One step learnt brings its neighbours on."""

    def practise(self, step: int, level: int, reach: int) -> None:
        before = self.state[step]
        super().practise(step, level, reach)
        if self.state[step] > before:
            for near in (step - 1, step + 1):
                if 0 <= near < self.n_steps and self.state[near] == 0 and self.rng.random() < 0.4:
                    self.state[near] = 1
