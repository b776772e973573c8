"""Forecasts on open trial-by-trial data: our tracker against naive forecasts.

The data are real practice (see tests/reference/single_case/forecast/README.md), adults and one task
without help levels, so the ladder is `with help | alone` and every trial is alone. Ten trials make a day;
each day is forecast before it is shown. No true chance is known: the log score alone is compared.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import numpy as np

from bylittle.core.advice import SkillTracker
from bylittle.core.practice.marks import Mark, Status

TRIALS = Path(__file__).parent.parent / "tests/reference/single_case/forecast/cochrane_2019_trials.csv"
A_DAY = 10
ALONE = 1


@dataclass
class Tally:
    """Right and wrong so far; `memory` fades the past at each trial, `start` is the flat prior's weight."""

    memory: float = 1.0
    right: float = 1.0
    wrong: float = 1.0

    def chance(self, day: int) -> float:
        """Forecast of the next day."""
        return self.right / (self.right + self.wrong)

    def see(self, day: int, rights: Sequence[int]) -> None:
        """One day."""
        for ok in rights:
            self.right = self.memory * self.right + ok
            self.wrong = self.memory * self.wrong + 1 - ok


@dataclass
class LastDay:
    """The last day's share, half a trial added to either side."""

    share: float = 0.5

    def chance(self, day: int) -> float:
        """Forecast of the next day."""
        return self.share

    def see(self, day: int, rights: Sequence[int]) -> None:
        """One day."""
        self.share = (sum(rights) + 0.5) / (len(rights) + 1)


class Tracker:
    """Ours, told every trial as one go alone."""

    def __init__(self) -> None:
        self.tracker = SkillTracker(1, n_levels=2)

    def chance(self, day: int) -> float:
        """Forecast of the next day's marks."""
        return float(self.tracker.count_pmf(0, ALONE, 1, day)[1])

    def see(self, day: int, rights: Sequence[int]) -> None:
        """One day."""
        for ok in rights:
            low, high = (ALONE, ALONE) if ok else (0, 0)
            self.tracker.record(day, [Mark(0, ALONE, Status.DONE, low, high)])


METHODS: dict[str, Callable[[], Tally | LastDay | Tracker]] = {
    "one half": lambda: Tally(1.0, 1e9, 1e9),
    "last ten trials": LastDay,
    "running mean": Tally,
    "fading mean (.98)": lambda: Tally(0.98),
    "our tracker": Tracker,
}


def learners(path: Path = TRIALS) -> dict[str, list[int]]:
    """Right or wrong of each learner, in order of trials."""
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return {name: [int(r["right"]) for r in own] for name, own in groupby(rows, key=lambda r: r["learner"])}


def losses(trials: Sequence[int], method: Tally | LastDay | Tracker) -> list[float]:
    """Minus the log score of each day, nats a trial."""
    scored = []
    for day, first in enumerate(range(0, len(trials), A_DAY)):
        today = trials[first : first + A_DAY]
        p = min(max(method.chance(day), 1e-6), 1 - 1e-6)
        scored.append(-float(np.mean([np.log(p if ok else 1 - p) for ok in today])))
        method.see(day, today)
    return scored


def compare(data: dict[str, list[int]]) -> dict[str, list[list[float]]]:
    """Days' losses of each method, a list for each learner."""
    return {name: [losses(trials, method()) for trials in data.values()] for name, method in METHODS.items()}


def main() -> int:
    """Print the comparison."""
    data = learners()
    found = compare(data)
    ours = np.array(found["our tracker"])
    print(f"log loss, nats a trial; {len(data)} learners, forecast of the next {A_DAY} trials")
    for name, days in found.items():
        own = np.array(days)
        apart = own - ours
        se = apart.std(ddof=1) / np.sqrt(apart.size)
        each = "  ".join(f"{learner:.3f}" for learner in own.mean(axis=1))
        print(f"{name:<20} {own.mean():.4f}  beyond ours {apart.mean():+.4f} ({se:.4f})  each: {each}")
    return 0
