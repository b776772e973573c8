"""How many values must go before two phases separate completely (PAND), within a case and over a study."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from bylittle.core.faults import NotEnoughData, Undefined
from bylittle.core.stats.values import Array, Better, two_phases

Phases = tuple[ArrayLike, ArrayLike]


@dataclass(frozen=True, slots=True)
class Sorted:
    """PAND by sorting: the share that keeps its phase, phi, and the counts (old phase by new, A then B)."""

    pand: float
    phi: float
    counts: tuple[tuple[int, int], tuple[int, int]]


def most_kept(a: Array, b: Array) -> int:
    """Most values that can stay so that every `a` left lies below every `b` left (larger is better).

    Every way to separate is a cut: the values of `a` at or under it stay, and those of `b` over it.
    """
    cuts = np.concatenate(([-np.inf], a, b))
    kept_a = np.searchsorted(np.sort(a), cuts, side="right")
    kept_b = b.size - np.searchsorted(np.sort(b), cuts, side="right")
    return int(np.max(kept_a + kept_b))


def pand_of_study(cases: Sequence[Phases], better: Better = "increase") -> float:
    """PAND by fewest removals, values kept in all cases over all values; 0..1.

    Raises NotEnoughData for no case, and the faults of a single case.
    """
    turned = _turned(cases, better)
    return sum(most_kept(a, b) for a, b in turned) / sum(a.size + b.size for a, b in turned)


def pand_by_sorting(cases: Sequence[Phases], better: Better = "increase") -> Sorted:
    """PAND and phi by sorting each case and naming its lowest values A again.

    The other published form (Parker, Hagan-Burke & Vannest 2007). It differs from `pand_of_study` when values
    tie: a tie at the cut is broken so that a baseline value stays baseline, the kindest reading.
    Raises NotEnoughData for no case.
    """
    stay_a = stay_b = all_a = all_b = 0
    for a, b in _turned(cases, better):
        order = np.argsort(np.concatenate((a, b)), kind="stable")
        kept = int(np.count_nonzero(order[: a.size] < a.size))
        stay_a, stay_b = stay_a + kept, stay_b + b.size - (a.size - kept)
        all_a, all_b = all_a + a.size, all_b + b.size
    counts = ((stay_a, all_a - stay_a), (all_b - stay_b, stay_b))
    return Sorted((stay_a + stay_b) / (all_a + all_b), _phi(counts), counts)


def _phi(counts: tuple[tuple[int, int], tuple[int, int]]) -> float:
    (aa, ab), (ba, bb) = counts
    margins = float((aa + ab) * (ba + bb) * (aa + ba) * (ab + bb))
    if margins == 0:
        raise Undefined(name="phi", counts=counts)
    return float((aa * bb - ab * ba) / np.sqrt(margins))


def _turned(cases: Sequence[Phases], better: Better) -> list[tuple[Array, Array]]:
    if len(cases) == 0:
        raise NotEnoughData(n=0, needed=1, name="cases")
    return [two_phases(a, b, better) for a, b in cases]
