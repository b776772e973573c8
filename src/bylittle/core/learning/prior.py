"""What we believe before the first turn: the bank of hypotheses and how skill moves between days.

All figures were chosen on simulated children (benchmarks/) or by `bylittle fit-prior`; none is evidence
about real children. Units: logits, unless a field says share or days.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product, starmap

import numpy as np
from numpy.typing import NDArray

from bylittle.core.faults import BadValue
from bylittle.core.practice.marks import Source
from bylittle.core.stats.ordinal import Floats, tail_chances
from bylittle.core.stats.ordinal_grid import normalised, occasion_nodes, refinement

Shares = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Prior:
    """Hypotheses with their prior shares, the noise of marks and the laws of change.

    `starts`: the child's level, around which steps scatter by `start_sd`. `gains`: logits a fully
    effective attempt. `boosts`: what the fullest help adds to the chance of managing. `gaps`: how much
    harder alone is than the ladder's even spacing says. `spreads`: standard deviation of the day effect.
    `biases`: how far a family's marks run ahead of what a therapist would see.
    """

    gains: Shares = (0.0, 0.025, 0.06, 0.13)
    gain_shares: Shares = (0.15, 0.35, 0.35, 0.15)
    starts: Shares = (-3.0, -1.4, 0.4)
    start_shares: Shares = (0.3, 0.4, 0.3)
    start_sd: float = 1.2
    boosts: Shares = (1.6, 3.2, 5.4)
    boost_shares: Shares = (0.25, 0.45, 0.3)
    gaps: Shares = (0.0, 1.3)
    gap_shares: Shares = (0.7, 0.3)
    spreads: Shares = (0.35, 0.95)
    spread_shares: Shares = (0.6, 0.4)
    biases: Shares = (0.0,)
    bias_shares: Shares = (1.0,)
    practice_sd: float = 0.14
    effort_least: float = 0.4
    effort_missed: float = 0.5
    room_middle: float = 3.2
    room_width: float = 0.8
    idle_sd: float = 0.08
    idle_loss: float = 0.01
    break_share: float = 0.4
    break_days: float = 20.0
    break_loss: float = 1.2
    break_sd: float = 0.8
    jump_share: float = 0.01
    jump_share_still: float = 0.03
    jump_to: float = 2.4
    jump_sd: float = 1.2
    home_noise: float = 0.08
    paper_noise: float = 0.08
    visit_noise: float = 0.04
    probe_noise: float = 0.03
    slip: float = 0.004
    weight_memory: float = 0.96
    grid_points: int = 25
    grid_end: float = 6.0

    def noise(self, source: Source) -> float:
        """Share of marks one level off, by where they come from."""
        return {
            Source.HOME: self.home_noise,
            Source.PAPER: self.paper_noise,
            Source.VISIT: self.visit_noise,
        }.get(source, self.probe_noise)


SHIPPED = Prior()
NODES = 5
FINER = 4


@dataclass(frozen=True, slots=True)
class Shape:
    """How skill turns into marks: help's boost, prompt gap, day spread and the family's bias."""

    boost: float
    gap: float
    spread: float
    bias: float


@dataclass(frozen=True, slots=True)
class Bank:
    """A prior laid out as arrays for one ladder. Axes: c response shapes, h = (gain, start), d, g.

    `tails` [c, d, l, g] are P(N >= l) with each day effect, `reported` the same as a family would mark it;
    `typical` [c, l, g] is the mean of `tails` over days. `finer` [g, f] spreads mass over a finer grid, on
    which `fine_values` [l, c * f] are typical chances in rising order and `fine_order` where they stood.
    """

    grid: Floats
    node_weights: Floats
    tails: Floats
    reported: Floats
    typical: Floats
    finer: Floats
    fine_values: Floats
    fine_order: NDArray[np.int64]
    start_belief: Floats
    log_prior: Floats
    n_gains: int
    shapes: tuple[Shape, ...]

    @property
    def table_shape(self) -> tuple[int, int, int]:
        c, d, _, g = self.tails.shape
        return c, d, g


def level_offsets(boost: float, gap: float, n_levels: int) -> Floats:
    """o_1..o_L: even steps of help from `boost` at the fullest down to 0, less the `gap` when alone."""
    top = n_levels - 1
    offsets = boost * (top - np.arange(1, top + 1)) / max(top - 1, 1)
    offsets[-1] -= gap
    return np.asarray(offsets, dtype=float)


@lru_cache(maxsize=32)
def bank(prior: Prior, n_levels: int) -> Bank:
    """The arrays of a prior for a ladder of `n_levels`; made once, shared by all children."""
    check(prior)
    grid = np.linspace(-prior.grid_end, prior.grid_end, prior.grid_points)
    nodes, node_weights = occasion_nodes(NODES)
    shapes = tuple(
        starmap(Shape, product(prior.boosts, prior.gaps, prior.spreads, prior.biases)),
    )
    tails = np.stack([_tails(grid, nodes, shape, n_levels) for shape in shapes])
    reported = np.stack([_tails(grid + shape.bias, nodes, shape, n_levels) for shape in shapes])
    fine_values, fine_order = _fine(prior, shapes, nodes, node_weights, n_levels)
    return Bank(
        grid=grid,
        node_weights=node_weights,
        tails=tails,
        reported=reported,
        typical=np.einsum("cdlg,d->clg", tails, node_weights),
        finer=refinement(prior.grid_points, FINER),
        fine_values=fine_values,
        fine_order=fine_order,
        start_belief=_start_belief(prior, grid),
        log_prior=_log_prior(prior),
        n_gains=len(prior.gains),
        shapes=shapes,
    )


def _tails(grid: Floats, nodes: Floats, shape: Shape, n_levels: int) -> Floats:
    location = grid[None, :] + shape.spread * nodes[:, None]
    return tail_chances(location, level_offsets(shape.boost, shape.gap, n_levels)).transpose(0, 2, 1)


def _fine(
    prior: Prior, shapes: tuple[Shape, ...], nodes: Floats, node_weights: Floats, n_levels: int
) -> tuple[Floats, NDArray[np.int64]]:
    grid = np.linspace(-prior.grid_end, prior.grid_end, (prior.grid_points - 1) * FINER + 1)
    tails = np.stack([_tails(grid, nodes, shape, n_levels) for shape in shapes])
    values = np.einsum("cdlf,d->lcf", tails, node_weights).reshape(n_levels, -1)
    order = np.argsort(values, axis=1, kind="stable")
    return np.take_along_axis(values, order, axis=1), order


def _log_prior(prior: Prior) -> Floats:
    c = _outer(prior.boost_shares, prior.gap_shares, prior.spread_shares, prior.bias_shares)
    h = _outer(prior.gain_shares, prior.start_shares)
    return normalised(np.log(c[:, None] * h[None, :]))[0]


def _outer(*shares: Shares) -> Floats:
    return np.asarray([np.prod(each) for each in product(*shares)])


def _start_belief(prior: Prior, grid: Floats) -> Floats:
    """Belief about one step before any mark [h, g]: normal about each child level, long tails."""
    z = (grid[None, :] - np.asarray(prior.starts)[:, None]) / prior.start_sd
    dense = np.exp(-0.5 * z**2) + 0.02 * np.exp(-0.5 * (z / 2.5) ** 2)
    dense /= dense.sum(axis=1, keepdims=True)
    return np.tile(dense, (len(prior.gains), 1))


def check(prior: Prior) -> None:
    """BadValue when a prior's shares and values do not belong together."""
    for name in ("gain", "start", "boost", "gap", "spread", "bias"):
        plural = "biases" if name == "bias" else f"{name}s"
        values, shares = getattr(prior, plural), getattr(prior, f"{name}_shares")
        if len(values) != len(shares) or min(shares) <= 0:
            raise BadValue("prior_shares", name=name, value=shares, allowed="one positive share a value")
    if prior.grid_points < 9:
        raise BadValue("prior_grid", name="grid_points", value=prior.grid_points, allowed="9 or more")
