"""Family A: children whose chances follow a logistic curve over a hidden skill of each step.

P(N >= l) = logistic(skill + day + boost_l - gap [l = top]). What differs from kind to kind is how the
skill moves and what a day does. Sizes are invented; the spread between children is wide on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import exp, log

import numpy as np

from benchmarks.children.child import Away, Child, logistic, normal_points

CEILING = 4.5


@dataclass
class Logistic(Child):
    """An average learner; every other kind of the family changes a part of this one."""

    gain: float = 0.12
    start: float = -2.3
    day_sd: float = 0.35
    gap: float = 0.3
    reach_of_help: float = 3.5
    forgetting: float = 0.006
    skill: list[float] = field(default_factory=list)
    boosts: list[float] = field(default_factory=list)
    mood: float = 0.0

    def __post_init__(self) -> None:
        r = self.rng
        self.gain *= float(np.exp(r.normal(0, 0.25)))
        self.day_sd *= float(np.exp(r.normal(0, 0.2)))
        child = self.start + r.normal(0, 0.5)
        self.skill = [float(child + r.normal(0, 0.9)) for _ in range(self.n_steps)]
        self.boosts = self.draw_boosts()
        self.points = normal_points(self.day_sd)

    def draw_boosts(self) -> list[float]:
        """Falling boosts of help, level 1 the largest, alone 0."""
        shares = np.sort(self.rng.uniform(0, 1, self.top - 2))[::-1]
        total = self.reach_of_help * float(np.exp(self.rng.normal(0, 0.15)))
        return [float("inf"), total, *(float(total * s) for s in shares), 0.0]

    def place(self, step: int, level: int) -> float:
        """Logit of the chance on a day with no day effect."""
        return self.skill[step] + self.boosts[level] - (self.gap if level == self.top else 0.0)

    def typical_at(self, step: int, level: int) -> float:
        if level == 0:
            return 1.0
        at = self.place(step, level)
        return sum(w * logistic(at + d) for d, w in self.points)

    def today_at(self, step: int, level: int, turn: int) -> float:
        return 1.0 if level == 0 else logistic(self.place(step, level) + self.mood)

    def draw_mood(self) -> float:
        """Today's effect on every step."""
        return float(self.rng.normal(0, self.day_sd))

    def overnight(self) -> None:
        self.mood = self.draw_mood()
        for k, skill in enumerate(self.skill):
            self.skill[k] += -self.forgetting * (skill + 3.0) + self.rng.normal(0, 0.03)

    def gain_of(self, step: int, level: int, reach: int) -> float:
        """Gain in logits of one attempt: most where it works four times in five, with less help."""
        p = logistic(self.place(step, level)) if level else 1.0
        just_right = exp(-(((p - 0.8) / 0.3) ** 2))
        own_part = 0.3 + 0.7 * level / self.top
        worked = 1.0 if reach >= level else 0.5
        return self.gain * just_right * own_part * worked * max(0.0, 1 - self.skill[step] / CEILING)

    def practise(self, step: int, level: int, reach: int) -> None:
        self.skill[step] += self.gain_of(step, level, reach)


@dataclass
class Swinging(Logistic):
    """Days differ widely."""

    day_sd: float = 1.1


@dataclass
class PromptLeaner(Logistic):
    """Does well with any help and badly alone; the gap closes with goes alone."""

    gap: float = 2.2
    start: float = -1.3

    def practise(self, step: int, level: int, reach: int) -> None:
        super().practise(step, level, reach)
        if level == self.top:
            self.gap = max(0.3, self.gap - 0.012)


@dataclass
class HelpStaysBehind(Logistic):
    """What is learnt with much help serves with help and hardly alone: two skills in one step."""

    own: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.own = list(self.skill)

    def place(self, step: int, level: int) -> float:
        carried = max(0, level - 2) / (self.top - 2)
        mixed = (1 - carried) * max(self.skill[step], self.own[step]) + carried * self.own[step]
        return mixed + self.boosts[level] - (self.gap if level == self.top else 0.0)

    def practise(self, step: int, level: int, reach: int) -> None:
        gained = self.gain_of(step, level, reach)
        self.skill[step] += gained
        carried = 0.15 + 0.85 * max(0, level - 2) / (self.top - 2)
        self.own[step] += gained * carried * 1.7

    def overnight(self) -> None:
        super().overnight()
        self.own = [own - self.forgetting * (own + 3.0) for own in self.own]


@dataclass
class AllOrNone(Logistic):
    """Stays where it is, then has it from one go to the next."""

    start: float = -2.6
    hazard: float = 0.026
    has_it: list[bool] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.has_it = [False] * self.n_steps

    def practise(self, step: int, level: int, reach: int) -> None:
        share = 0.4 + 0.6 * level / self.top
        if not self.has_it[step] and self.rng.random() < self.hazard * share * 1.6:
            self.has_it[step] = True
            self.skill[step] = float(2.6 + self.rng.normal(0, 0.3))

    def overnight(self) -> None:
        self.mood = self.draw_mood()


@dataclass
class PowerLaw(Logistic):
    """Misses alone fall with a power of practice: quick at first, then ever more slowly."""

    rate: float = 0.75
    goes: list[float] = field(default_factory=list)
    first: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.goes = [0.0] * self.n_steps
        self.rate *= float(np.exp(self.rng.normal(0, 0.12)))
        self.first = list(self.skill)

    def practise(self, step: int, level: int, reach: int) -> None:
        self.goes[step] += 0.3 + 0.7 * level / self.top
        missing = (1 - logistic(self.first[step])) * (1 + self.goes[step] / 8) ** -self.rate
        self.skill[step] = log((1 - missing) / missing)

    def overnight(self) -> None:
        self.mood = self.draw_mood()


@dataclass
class Plateau(Logistic):
    """Stands still for some weeks on the way, with good days and bad days and nothing between."""

    stuck_at: list[float] = field(default_factory=list)
    left: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.points = [(-0.8, 0.5), (0.8, 0.5)]
        self.stuck_at = [float(self.rng.uniform(-1.0, 1.0)) for _ in range(self.n_steps)]
        self.left = [int(self.rng.integers(15, 45)) for _ in range(self.n_steps)]

    def draw_mood(self) -> float:
        return 0.8 if self.rng.random() < 0.5 else -0.8

    def practise(self, step: int, level: int, reach: int) -> None:
        if self.skill[step] >= self.stuck_at[step] and self.left[step] > 0:
            self.left[step] -= 1
        else:
            super().practise(step, level, reach)


@dataclass
class IllnessAndLoss(Logistic):
    """A break of one to two weeks somewhere, with much lost in it."""

    gain: float = 0.15

    def __post_init__(self) -> None:
        super().__post_init__()
        self.away = Away(int(self.rng.integers(24, 50)), int(self.rng.integers(7, 15)))
        self.lost = float(self.rng.uniform(0.8, 2.0))

    def overnight(self) -> None:
        super().overnight()
        if self.day == self.away.first:
            self.skill = [max(-4.0, s - self.lost) for s in self.skill]
