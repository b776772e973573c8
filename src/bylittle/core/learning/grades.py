"""Another material: what is known of a step with one grade of it, told for the next.

Grades are named from easier to harder where the skill has such a ladder; plain numbers count as grades, the
higher the harder. How much one grade costs differs from child to child: each response shape has its own
size, so the marks that follow teach it.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy import special

from bylittle.core.learning.prior import Bank
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import Singles, shift_kernel

GRADE_SIZE, GRADE_SPREAD = 0.8, 0.5  # logits a grade: median over children, sd of its logarithm
GRADE_DOUBT = 0.35  # logits a grade: what differs from step to step
UNKNOWN_DOUBT = 0.6  # logits: another material of which nobody says whether it is harder
MOST_GRADES = 8.0
GOLDEN = 0.6180339887498949


def grade_gap(ladder: tuple[str, ...], before: str, after: str) -> float | None:
    """How many grades harder (below 0: easier) `after` is than `before`; None where nobody can say."""
    if before in ladder and after in ladder:
        return float(ladder.index(after) - ladder.index(before))
    try:
        gap = float(after) - float(before)
    except ValueError:
        return None
    return float(np.clip(gap, -MOST_GRADES, MOST_GRADES)) if np.isfinite(gap) else None


def grade_sizes(n: int) -> Floats:
    """Logits a grade for each of `n` shapes: spread evenly over their log-normal prior."""
    share = (0.5 + np.arange(1, n + 1) * GOLDEN) % 1.0
    return np.asarray(GRADE_SIZE * np.exp(GRADE_SPREAD * special.ndtri(share)))


def regraded_belief(arrays: Bank, belief: Singles, harder: float | None) -> Singles:
    """Belief about one step [c, h, g] after a change by `harder` grades; None: not known which way."""
    return np.asarray(np.einsum("chg,cgj->chj", belief, _kernels(arrays, harder)), dtype=np.float32)


@lru_cache(maxsize=64)
def _kernels(arrays: Bank, harder: float | None) -> Singles:
    grid, n = arrays.grid, len(arrays.shapes)
    same = np.ones(len(grid))
    if harder is None:
        shifts, doubt = np.zeros(n), UNKNOWN_DOUBT
    else:
        shifts, doubt = -harder * grade_sizes(n), GRADE_DOUBT * abs(harder)
    return np.stack([shift_kernel(grid, shift * same, doubt**2 * same) for shift in shifts]).astype(
        np.float32
    )
