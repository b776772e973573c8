"""Patterns in the recent log: their names, what a finder gets and what it gives.

Each finder (`patterns_in_time`, `patterns_of_help`, `patterns_of_steps`) is a test with a stated error rate
for one look; it returns the pattern with its numbers or None, None also where data are too few to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

from bylittle.core.advice.facts import DONE, PROBES
from bylittle.core.learning.forecast import Outlook
from bylittle.core.learning.history import Rows


class PatternKind(StrEnum):
    """What may be going on; a pattern is a question to the therapist, never a diagnosis."""

    PLATEAU = "plateau"
    LEANS_ON_HELP = "leans on help"
    LEVEL_WITHOUT_USE = "help level without use"
    LEVEL_OUT_OF_PLACE = "help level out of place"
    WARMS_UP = "warms up"
    TIRES = "tires"
    EASIER_UNSAID = "material made easier unsaid"
    REPORTED_AHEAD = "reported ahead of observed"
    STOPS_RISING = "stops rising"
    SWINGS = "day-to-day swings"
    LOSS = "loss"
    STEPS_TOGETHER = "steps belong together"
    STEP_TO_SPLIT = "step to split"
    ADULTS_DIFFER = "adults differ"
    LEVEL_TO_TRY = "help level to try"
    HELP_TO_WRITE = "help to write down"


#: No finds but proposals: what a few goes more would tell.
PROPOSALS = frozenset({PatternKind.LEVEL_TO_TRY, PatternKind.HELP_TO_WRITE})


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern, its steps and numbers, and `p`: the chance of such a find where there is none."""

    kind: PatternKind
    steps: tuple[int, ...]
    p: float
    values: Mapping[str, object] = field(default_factory=dict)


LEVEL = 0.01


@dataclass(frozen=True, slots=True)
class Look:
    """What finders look at: all recent rows, the practice among them (home, paper and visit marks of asked
    steps with some help less than the fullest), belief about the day, and the adults' names."""

    rows: Rows
    practice: Rows
    view: Outlook
    adults: tuple[str, ...] = ()

    @property
    def top(self) -> int:
        """Index of *alone*."""
        return self.view.settings.top


def look(rows: Rows, view: Outlook, adults: tuple[str, ...] = ()) -> Look:
    """Ready for the finders."""
    practised = (rows.status == DONE) & (rows.offered > 0) & ~np.isin(rows.source, PROBES)
    return Look(rows, rows.where(practised), view, adults)


def managed(rows: Rows) -> NDArray[np.bool_]:
    """Marks whose help was enough."""
    return np.asarray(rows.lo >= rows.offered)


def last_days(rows: Rows, days: int) -> Rows:
    """Rows of the last so many calendar days in them."""
    return rows.where(rows.day > rows.day.max() - days) if len(rows) else rows


def fisher_greater(a: int, b: int, c: int, d: int) -> float:
    """Fisher's exact test, one-sided (Fisher 1922): chance of a or more in the table [[a, b], [c, d]].

    The hypergeometric tail summed here; the general library's test is forty times slower for tables so small.
    """
    row, column, n = a + b, a + c, a + b + c + d
    k = np.arange(a, min(row, column) + 1)
    logs = _log_choose(column, k) + _log_choose(n - column, row - k) - _log_choose(n, row)
    return min(1.0, float(np.exp(logs).sum()))


def _log_choose(n: int, k: NDArray[np.int64] | int) -> NDArray[np.float64]:
    with np.errstate(invalid="ignore"):
        return np.asarray(gammaln(n + 1) - gammaln(np.add(k, 1)) - gammaln(np.subtract(n, k) + 1))
