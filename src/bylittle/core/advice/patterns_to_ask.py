"""What a few goes more would tell: where the log cannot answer a question, how it could.

These are no finds but proposals of a small experiment, at most one at a time, and only where the answer
matters: the help level in question lies next to one that stays asked for long, or help often is not enough.
"""

from __future__ import annotations

import numpy as np

from bylittle.core.advice.patterns import Look, Pattern, PatternKind, last_days, managed
from bylittle.core.advice.patterns_of_help import PLACE_MARKS
from bylittle.core.learning.history import Rows

BACK, LONG, MUCH, FEW = 28, 8, 60, 6
MISSES, NAMED, ENOUGH = 20, 0.1, 0.75
SURE_OF_NOTHING = 1.0


def a_small_experiment(seen: Look) -> Pattern | None:
    """A help level to try, else the help to write down after a miss; no test, so `p` is 1."""
    return level_to_try(seen) or help_to_write(seen)


def level_to_try(seen: Look) -> Pattern | None:
    """A level next to the one that has been asked for `LONG` practice days was offered in fewer than `FEW`
    of `MUCH` goes and more: nobody can say whether it helps this child.

    `turns`: goes with it until the level can be compared with its neighbour (`level_out_of_place`).
    """
    rows = seen.practice
    if len(rows) < MUCH:
        return None
    goes = np.bincount(rows.offered, minlength=seen.top + 1)
    last = rows.where(rows.day == rows.day[-1])
    for step in np.unique(last.step):
        asked = int(last.offered[last.step == step][-1])
        if asked == seen.top:
            continue  # alone goes well enough to be asked: no other help is in question
        days = _days_with(last_days(rows, BACK), int(step), asked)
        for level in (asked + 1, asked - 1):
            if 1 <= level < seen.top and goes[level] < FEW and days >= LONG:
                values = {"level": level, "proposed": asked, "goes": int(goes[level]), "days": days}
                wanted = {"turns": PLACE_MARKS - int(goes[level]), "bar": PLACE_MARKS}
                return Pattern(PatternKind.LEVEL_TO_TRY, (int(step),), SURE_OF_NOTHING, values | wanted)
    return None


def _days_with(rows: Rows, step: int, level: int) -> int:
    return len(np.unique(rows.day[(rows.step == step) & (rows.offered == level)]))


def help_to_write(seen: Look) -> Pattern | None:
    """Help often is not enough, and the marks do not say which help was: so no level can show its use."""
    rows = last_days(seen.practice, BACK)
    fixed = rows.where(rows.ladder == 0)
    good = managed(fixed)
    misses = fixed.where(~good & (fixed.offered > 1))
    if len(misses) < MISSES or good.mean() >= ENOUGH:
        return None
    named = int((misses.lo > 0).sum())
    if named >= NAMED * len(misses):
        return None
    values = {"misses": len(misses), "named": named, "managed": float(good.mean()), "bar": ENOUGH}
    return Pattern(PatternKind.HELP_TO_WRITE, (), SURE_OF_NOTHING, values | {"share": NAMED})
