"""What we believe before the first turn: the bank of hypotheses and how skill moves between days.

All figures were chosen on simulated children (benchmarks/) or by `bylittle fit-prior`; none is evidence
about real children. Units: logits, unless a field says share or days.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import starmap

import numpy as np
from scipy import optimize, special

from bylittle.core.faults import BadValue
from bylittle.core.practice.marks import Source
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import Singles, normalised, occasion_nodes, refinement

Shares = tuple[float, ...]
NODES = 5
FINER = 4


@dataclass(frozen=True, slots=True)
class Shape:
    """How one child's skill turns into marks: P(N >= l) = s(theta + day + o_l).

    o_L = 0, else o_l starts at boost x^bend + gap; x falls evenly from 1 with level 1 to 0 alone.
    `spread`: standard deviation of the day effect. `bias`: how far the family's marks run ahead of what a
    therapist would see.
    """

    boost: float
    bend: float
    gap: float
    spread: float
    bias: float


def scattered_shapes(
    n: int,
    *,
    boost: tuple[float, float] = (3.2, 0.4),
    bend: tuple[float, float] = (1.0, 0.35),
    gap: tuple[float, float] = (0.6, 1.1),
    spread: tuple[float, float] = (0.45, 0.5),
    bias: tuple[float, float] = (0.0, 0.12),
) -> tuple[Shape, ...]:
    """`n` shapes spread evenly over a prior: (median, sd of the log), for `bias` (mean, sd).

    Points of an additive recurrence on the generalised golden ratio (Roberts 2018, unpublished; from
    memory): they fill five dimensions with far fewer hypotheses than a full crossing would need.
    """
    root = optimize.brentq(lambda x: x**6 - x - 1, 1.0, 2.0)
    share = (0.5 + np.arange(1, n + 1)[:, None] * root ** -np.arange(1.0, 6.0)) % 1.0
    z = special.ndtri(share)
    logs = [median * np.exp(sd * z[:, i]) for i, (median, sd) in enumerate((boost, bend, gap, spread))]
    columns = [*logs, bias[0] + bias[1] * z[:, 4]]
    return tuple(starmap(Shape, np.round(np.stack(columns, axis=1), 4).tolist()))


@dataclass(frozen=True, slots=True)
class Prior:
    """Hypotheses with their prior shares, the noise of marks and the laws of change.

    `shapes`: how skill turns into marks. `gains`: logits a fully effective attempt; 0 is a child who stays
    where she is until she leaps, the smallest other one a child who does neither. `starts`: the child's
    level, around which steps scatter by `start_sd`. `exact_share`: how often, before any mark, an adult's
    level after a miss is taken for the least that would have been enough.
    """

    shapes: tuple[Shape, ...] = scattered_shapes(16)
    shape_shares: Shares = (1 / 16,) * 16
    gains: Shares = (0.0, 1e-4, 0.035, 0.085, 0.18)
    gain_shares: Shares = (0.12, 0.12, 0.31, 0.31, 0.14)
    starts: Shares = (-2.6, -0.8)
    start_shares: Shares = (0.6, 0.4)
    start_sd: float = 1.0
    start_tail: float = 0.06
    offset_sd: float = 0.6
    offset_trust: float = 0.4
    offset_memory: float = 0.995
    practice_sd: float = 0.02
    effort_least: float = 0.4
    effort_missed: float = 0.5
    usual_goes: float = 4.0
    challenge_best: float = 0.8
    challenge_width: float = 0.3
    challenge_least: float = 0.5
    room_middle: float = 2.2
    room_width: float = 0.6
    idle_sd: float = 0.10
    idle_loss: float = 0.004
    break_share: float = 0.2
    break_days: float = 20.0
    break_loss: float = 1.2
    break_sd: float = 0.8
    jump_share: float = 0.0006
    jump_share_still: float = 0.035
    jump_to: float = 3.0
    jump_sd: float = 0.8
    home_noise: float = 0.09
    paper_noise: float = 0.09
    visit_noise: float = 0.04
    probe_noise: float = 0.03
    slip: float = 0.008
    writer_slips: tuple[float, ...] = (0.2, 0.45)
    writer_share: float = 0.08
    writer_trust: float = 0.7
    writer_memory: float = 0.995
    exact_share: float = 0.6
    weight_memory: float = 0.91
    grid_points: int = 23
    grid_end: float = 6.0

    def noise(self, source: Source) -> float:
        """Share of marks one level off, by where they come from."""
        return {
            Source.HOME: self.home_noise,
            Source.PAPER: self.paper_noise,
            Source.VISIT: self.visit_noise,
        }.get(source, self.probe_noise)


SHIPPED = Prior()


@dataclass(frozen=True, slots=True, eq=False)
class Bank:
    """A prior laid out as arrays for one ladder. Axes: c response shapes, h = (gain, start), d, g, f finer.

    `places` [c, d, g] are skill plus day effect, `reported_places` with the family's bias, `fine_places`
    [c, d, f] on the finer grid. `offsets` [c, L - 1] is where each shape's help levels start, relative to
    alone, with `offset_precision` [L - 1].
    """

    prior: Prior
    n_levels: int
    grid: Floats
    node_weights: Floats
    places: Singles
    reported_places: Singles
    fine_places: Singles
    finer: Floats
    offsets: Floats
    offset_precision: Floats
    start_belief: Floats
    log_prior: Floats
    n_gains: int
    shapes: tuple[Shape, ...]

    @property
    def table_shape(self) -> tuple[int, int, int]:
        c, d, g = self.places.shape
        return c, d, g


def level_offsets(shape: Shape, n_levels: int) -> Floats:
    """o_1..o_(L-1) of a shape on a ladder of any length, relative to alone."""
    top = n_levels - 1
    x = (top - np.arange(1, top)) / max(top - 1, 1)
    return np.asarray(shape.boost * x**shape.bend + shape.gap, dtype=float)


@lru_cache(maxsize=32)
def bank(prior: Prior, n_levels: int) -> Bank:
    """The arrays of a prior for a ladder of `n_levels`; made once, shared by all children."""
    check(prior)
    grid = np.linspace(-prior.grid_end, prior.grid_end, prior.grid_points)
    fine = np.linspace(-prior.grid_end, prior.grid_end, (prior.grid_points - 1) * FINER + 1)
    nodes, node_weights = occasion_nodes(NODES)
    days = np.array([shape.spread for shape in prior.shapes])[:, None, None] * nodes[None, :, None]
    bias = np.array([shape.bias for shape in prior.shapes])[:, None, None]
    return Bank(
        prior=prior,
        n_levels=n_levels,
        grid=grid,
        node_weights=node_weights,
        places=(days + grid).astype(np.float32),
        reported_places=(days + grid + bias).astype(np.float32),
        fine_places=(days + fine).astype(np.float32),
        finer=refinement(prior.grid_points, FINER),
        offsets=np.stack([level_offsets(shape, n_levels) for shape in prior.shapes]),
        offset_precision=np.full(n_levels - 2, prior.offset_sd**-2.0),
        start_belief=_start_belief(prior, grid),
        log_prior=_log_prior(prior),
        n_gains=len(prior.gains),
        shapes=prior.shapes,
    )


def _log_prior(prior: Prior) -> Floats:
    h = np.outer(prior.gain_shares, prior.start_shares).ravel()
    return normalised(np.log(np.outer(prior.shape_shares, h)))[0]


def _start_belief(prior: Prior, grid: Floats) -> Floats:
    """Belief about one step before any mark [h, g]: normal about each child level, long tails."""
    z = (grid[None, :] - np.asarray(prior.starts)[:, None]) / prior.start_sd
    dense = np.exp(-0.5 * z**2) + prior.start_tail * np.exp(-0.5 * (z / 2.5) ** 2)
    dense /= dense.sum(axis=1, keepdims=True)
    return np.tile(dense, (len(prior.gains), 1))


def check(prior: Prior) -> None:
    """BadValue when a prior's shares and values do not belong together."""
    for name in ("gain", "start", "shape"):
        values, shares = getattr(prior, f"{name}s"), getattr(prior, f"{name}_shares")
        if len(values) != len(shares) or min(shares) <= 0:
            raise BadValue("prior_shares", name=name, value=shares, allowed="one positive share a value")
    if prior.grid_points < 9:
        raise BadValue("prior_grid", name="grid_points", value=prior.grid_points, allowed="9 or more")
