"""Start-point randomization test: was the real start of treatment special among the possible ones?"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.stats.values import Array, Better, rounding, two_phases

Middle = Literal["mean", "median"]
MIDDLES = ("mean", "median")
MOST_ENUMERATED = 1_000_000


@dataclass(frozen=True, slots=True)
class StartPoint:
    """The observed statistic among those of every allowed assignment, or of `n` drawn ones (not `exact`)."""

    observed: float
    p: float
    n: int
    mean: float
    sd: float
    smallest: float
    largest: float
    exact: bool


def start_point(
    cases: Sequence[tuple[ArrayLike, ArrayLike]],
    better: Better = "increase",
    *,
    statistic: Middle = "mean",
    across: Middle = "mean",
    least_a: int = 5,
    least_b: int = 5,
    chance: np.random.Generator | None = None,
    draws: int = 9999,
) -> StartPoint:
    """Edgington (1975); over several cases Marascuilo & Busk (1988): every combination of starts.

    `cases` holds a (baseline, treatment) pair a case. The statistic of a case is the `statistic` of
    treatment less that of baseline, and `across` joins cases. Allowed starts leave `least_a` baseline and
    `least_b` treatment points. p is the share of assignments whose statistic is as large or larger, the
    real one included; the smallest p that can come out is 1 / n. It holds only where the start was truly
    drawn by lot among the allowed ones. Above a million combinations `draws` are drawn with `chance`, and p
    is (1 + hits) / (1 + draws).

    Raises NotEnoughData when a phase is shorter than its least length or one start alone is allowed in all
    cases, BadValue when a draw is needed and `chance` is missing.
    """
    _check(cases, statistic, across, least_a, least_b, draws)
    turned = [two_phases(a, b, better, least_a, least_b) for a, b in cases]
    tables = [_by_start(np.concatenate(case), least_a, least_b, statistic) for case in turned]
    real = np.array([[table[a.size - least_a] for table, (a, _) in zip(tables, turned, strict=True)]])
    count = math.prod(table.size for table in tables)
    if count < 2:
        raise NotEnoughData(n=count, needed=2, name="starts")
    exact = count <= MOST_ENUMERATED
    # The same sum in another order may differ in its last bit: that is a tie, not a smaller statistic.
    within = max(rounding(np.concatenate(case)) for case in turned)
    chosen = _all(tables) if exact else _drawn(tables, chance, draws)
    return _summary(float(_middle(real, across)[0]), _middle(chosen, across), within, exact)


def _check(
    cases: Sequence[object], statistic: str, across: str, least_a: int, least_b: int, draws: int
) -> None:
    for name, word in (("statistic", statistic), ("across", across)):
        if word not in MIDDLES:
            raise BadValue(name=name, value=word, allowed=MIDDLES)
    for name, number in (("least_a", least_a), ("least_b", least_b), ("draws", draws)):
        if number < 1:
            raise BadValue(name=name, value=number, allowed="1 or more")
    if len(cases) == 0:
        raise NotEnoughData(n=0, needed=1, name="cases")


def _by_start(values: Array, least_a: int, least_b: int, statistic: Middle) -> Array:
    """The statistic at each allowed start; the first leaves `least_a` baseline points."""
    cuts = range(least_a, values.size - least_b + 1)
    return np.array(
        [_middle(values[cut:], statistic) - _middle(values[:cut], statistic) for cut in cuts],
        dtype=np.float64,
    )


def _middle(values: Array, word: Middle) -> Array:
    return np.asarray(np.mean(values, axis=-1) if word == "mean" else np.median(values, axis=-1))


def _all(tables: list[Array]) -> Array:
    return np.array(list(itertools.product(*tables)), dtype=np.float64)


def _drawn(tables: list[Array], chance: np.random.Generator | None, draws: int) -> Array:
    if chance is None:
        raise BadValue(name="chance", value=None, allowed="a numpy Generator")
    return np.column_stack([table[chance.integers(table.size, size=draws)] for table in tables])


def _summary(observed: float, found: Array, within: float, exact: bool) -> StartPoint:
    hits = int(np.count_nonzero(found >= observed - within))
    p = hits / found.size if exact else (1 + hits) / (1 + found.size)
    return StartPoint(
        observed,
        p,
        int(found.size),
        float(found.mean()),
        float(found.std(ddof=1)),
        float(found.min()),
        float(found.max()),
        exact,
    )
