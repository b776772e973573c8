"""Patterns of steps: two that belong together, one that may be two."""

from __future__ import annotations

import numpy as np

from bylittle.core.advice.patterns import Look, Pattern, PatternKind, fisher_greater, managed
from bylittle.core.learning.forecast import chance, means

TOGETHER_LEVEL, TOGETHER_TURNS, TOGETHER_BACK, AGREE = 0.0005, 16, 40, 0.85
SPLIT_MARKS, SPLIT_HIGH, OTHERS_LOW = 40, 0.50, 0.75


def steps_together(seen: Look, level: float = TOGETHER_LEVEL) -> Pattern | None:
    """Two neighbours, with the same help, go or do not go in the same turns: Fisher's exact test, one-sided.

    `level` is shared among the pairs tried. Both must vary, and agree in most turns.
    """
    found = []
    for step in range(seen.view.settings.n_steps - 1):
        pair = _same_turns(seen, step)
        if pair is None:
            continue
        both, only, other, none = pair
        agree = (both + none) / sum(pair)
        p = fisher_greater(both, only, other, none)
        if agree >= AGREE:
            found.append((p * (seen.view.settings.n_steps - 1), step, agree, sum(pair)))
    if not found or min(found)[0] > level:
        return None
    p, step, agree, turns = min(found)
    values = {"agree": float(agree), "turns": turns, "level": level}
    return Pattern(PatternKind.STEPS_TOGETHER, (step, step + 1), p, values)


def _same_turns(seen: Look, step: int) -> tuple[int, int, int, int] | None:
    rows = seen.practice
    first, second = rows.where(rows.step == step), rows.where(rows.step == step + 1)
    turns, i, j = np.intersect1d(first.turn, second.turn, return_indices=True)
    alike = first.offered[i] == second.offered[j]
    a, b = managed(first)[i][alike][-TOGETHER_BACK:], managed(second)[j][alike][-TOGETHER_BACK:]
    if len(turns) < TOGETHER_TURNS or len(a) < TOGETHER_TURNS or not 0.15 < a.mean() < 0.85:
        return None
    return int((a & b).sum()), int((a & ~b).sum()), int((~a & b).sum()), int((~a & ~b).sum())


def step_to_split(seen: Look) -> Pattern | None:
    """One step stays hard after much practice while the others that were practised are nearly learnt.

    Found where the 90 % interval of its chance alone ends below `SPLIT_HIGH`: a false find in one of twenty
    such looks at most, if belief is calibrated.
    """
    goes = np.bincount(seen.practice.step, minlength=seen.view.settings.n_steps)
    practised = np.flatnonzero(goes >= SPLIT_MARKS)
    if len(practised) < 3:
        return None
    alone = means(seen.view)[practised, -1]
    hardest = int(practised[alone.argmin()])
    others = np.sort(alone)[1:]
    told = chance(seen.view, hardest, seen.top)
    if told.high >= SPLIT_HIGH or others.min() < OTHERS_LOW:
        return None
    values = {"chance": told.mean, "high": told.high, "others": float(others.min())}
    return Pattern(PatternKind.STEP_TO_SPLIT, (hardest,), 0.05, {**values, "marks": int(goes[hardest])})
