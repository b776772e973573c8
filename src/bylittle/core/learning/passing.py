"""What time does to skill: practice, jumps, idle days and loss, as kernels made once and shared."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from bylittle.core.learning.prior import Bank, Prior
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import Singles, shift_kernel

LONGEST_GAP = 730
# Slow forgetting and growing doubt come to rest after two months: belief would else pile up where the grid
# ends and look surer than it is. What a longer break may cost stands in `break_share`.
LONGEST_DRIFT = 60
EFFORT_STEP = 0.25
MOST_EFFORT = 24.0


def rounded_effort(effort: float) -> float:
    """Effort on the coarse scale on which kernels are kept; any practice at all counts as some."""
    if effort <= 0:
        return 0.0
    return min(max(round(effort / EFFORT_STEP), 1) * EFFORT_STEP, MOST_EFFORT)


@lru_cache(maxsize=4096)
def time_kernel(arrays: Bank, effort: float, idle_days: int) -> Singles:
    """Transition [gain, g, g] over one practice day of `effort` (0: none) and then `idle_days` without.

    `effort` as `rounded_effort` gives it.
    """
    prior, grid = arrays.prior, arrays.grid
    kernels = np.stack([_practice(prior, grid, gain, effort) for gain in prior.gains])
    if idle_days > 0:
        kernels = kernels @ _idle(prior, grid, min(idle_days, LONGEST_GAP))
    return kernels.astype(np.float32)


def _practice(prior: Prior, grid: Floats, gain: float, effort: float) -> Floats:
    if effort == 0:
        return np.eye(len(grid))
    room = 1 / (1 + np.exp((grid - prior.room_middle) / prior.room_width))
    variance = np.full(len(grid), prior.practice_sd**2)
    kernel = shift_kernel(grid, gain * effort * room, variance)
    share = prior.jump_share_still if gain == 0 else prior.jump_share
    jumping = 1 - (1 - share) ** effort
    return np.asarray((1 - jumping) * kernel + jumping * _jump(prior, grid))


def _jump(prior: Prior, grid: Floats) -> Floats:
    """All-or-none learning: from anywhere below to about `jump_to`, never down."""
    weights = np.exp(-0.5 * ((grid - prior.jump_to) / prior.jump_sd) ** 2)
    upwards = np.triu(np.tile(weights, (len(grid), 1))) + np.eye(len(grid)) * 1e-9
    return np.asarray(upwards / upwards.sum(axis=1, keepdims=True))


def _idle(prior: Prior, grid: Floats, days: int) -> Floats:
    """Days without practice: a little loss and growing doubt, and after a long break perhaps a real loss."""
    same = np.ones(len(grid))
    drift = min(days, LONGEST_DRIFT)
    plain = shift_kernel(grid, -prior.idle_loss * drift * same, prior.idle_sd**2 * drift * same)
    lost = shift_kernel(grid, -prior.break_loss * same, prior.break_sd**2 * same)
    share = prior.break_share * days / (days + prior.break_days) if days > 1 else 0.0
    return (1 - share) * plain + share * (plain @ lost)
