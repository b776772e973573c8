"""Patterns in the recent log, each found by a test with a stated error rate.

Every finder returns the pattern with its numbers or None; None also where data are too few to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from scipy.stats import binom, fisher_exact

from bylittle.core.advice.facts import DONE, Stops
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


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern, its steps and numbers, and `p`: the chance of such a find where there is none."""

    kind: PatternKind
    steps: tuple[int, ...]
    p: float
    values: Mapping[str, object] = field(default_factory=dict)


LEVEL = 0.01
DAYS_BACK = 14


def stops_rising(stops: Stops, level: float = LEVEL) -> Pattern | None:
    """More turns end in a stop in the later half of the last days than in the earlier half.

    Fisher's exact test, one-sided (Fisher 1922), on turns with and without a stop.
    """
    n = min(len(stops.days), DAYS_BACK)
    half = n // 2
    if half < 3:
        return None
    late_stops, late = sum(stops.stops[-half:]), sum(stops.turns[-half:])
    early_stops, early = sum(stops.stops[-n:-half]), sum(stops.turns[-n:-half])
    table = [[late_stops, late - late_stops], [early_stops, early - early_stops]]
    p = float(fisher_exact(table, alternative="greater").pvalue)
    if p > level:
        return None
    values = {"late": late_stops, "late_turns": late, "early": early_stops, "early_turns": early, "days": n}
    return Pattern(PatternKind.STOPS_RISING, (), p, {**values, "level": level})


def warms_up_or_tires(rows: Rows, level: float = LEVEL) -> Pattern | None:
    """First turns of the day differ from the later ones: a sign test over days (two-sided, halved level)."""
    done = rows.where((rows.status == DONE) & (rows.offered > 0))
    differences = []
    for day in np.unique(done.day):
        today = done.where(done.day == day)
        first, rest = today.where(today.turn_of_day == 0), today.where(today.turn_of_day > 0)
        if len(first) and len(rest):
            differences.append((first.lo >= first.offered).mean() - (rest.lo >= rest.offered).mean())
    signs = np.sign(differences)
    n, lower = int((signs != 0).sum()), int((signs < 0).sum())
    if n < 8:
        return None
    p = float(min(binom.sf(lower - 1, n, 0.5), binom.sf(n - lower - 1, n, 0.5)) * 2)
    if p > level:
        return None
    kind = PatternKind.WARMS_UP if lower > n / 2 else PatternKind.TIRES
    return Pattern(kind, (), p, {"days": n, "first_lower": lower, "level": level})
