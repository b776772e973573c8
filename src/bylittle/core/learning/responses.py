"""How one child's skill turns into marks, learned level by level: the offsets of each help level.

The bank's shapes differ in day spread, bias and where they start; each then learns its own offsets online.
After a day, every offset moves by a Newton step on that day's log likelihood: the gradient is the posterior
mean of the complete-data gradient (Fisher's identity), the information its mean square, lessened because
skill itself is uncertain. Offsets are relative to alone (o_L = 0) and never fall as help grows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from bylittle.core.learning.prior import Bank
from bylittle.core.stats.ordinal import Floats, blur
from bylittle.core.stats.ordinal_grid import Singles

RecordKind = tuple[float, float, float, bool, int, int]
LARGEST_STEP = 0.5
LEAST_CHANCE = 1e-6


@lru_cache(maxsize=4096)
def record_row(n_levels: int, up: float, down: float, lo: int, hi: int) -> tuple[float, ...]:
    """Weights r_0..r_L with P(recorded level in lo..hi) = sum r_l P(N >= l); `up` and `down`: shares of
    marks one level off that way."""
    inside = np.zeros(n_levels)
    inside[lo : hi + 1] = 1.0
    weights = blur(n_levels, up, down) @ inside
    return tuple(np.diff(weights, prepend=0.0).tolist())


@lru_cache(maxsize=4096)
def read_row(n_levels: int, up: float, down: float, exact: float, lo: int, hi: int) -> tuple[float, ...]:
    """`record_row` of a mark whose lowest level is the reach itself with chance `exact`, else any of lo..hi.

    Who writes whatever help came to hand writes each of the N levels that were enough alike: to stand on one
    scale with that, the reach itself counts as often as there are levels in the middle of lo..hi.
    """
    within = np.asarray(record_row(n_levels, up, down, lo, hi))
    if exact == 0 or lo == hi:
        return tuple(within.tolist())
    itself = (lo + hi) / 2 * np.asarray(record_row(n_levels, up, down, lo, lo))
    return tuple((exact * itself + (1 - exact) * within).tolist())


def tails(arrays: Bank, offsets: Floats, reported: bool) -> Singles:
    """P(N >= l) [l, c, d, g] for l = 0..L, as a family reports it or as it is."""
    c, d, g = arrays.table_shape
    places = arrays.reported_places if reported else arrays.places
    found = np.ones((arrays.n_levels, c, d, g), dtype=np.float32)
    shifts = np.zeros((arrays.n_levels - 1, c, 1, 1), dtype=np.float32)
    shifts[:-1, :, 0, 0] = offsets.T
    np.negative(places + shifts, out=found[1:])
    np.exp(found[1:], out=found[1:])
    found[1:] += 1.0
    np.reciprocal(found[1:], out=found[1:])
    return found


@dataclass(frozen=True, slots=True)
class Curves:
    """`tails` for one set of offsets, each worked out once."""

    arrays: Bank
    offsets: Floats
    known: dict[bool, Singles] = field(default_factory=dict, compare=False, repr=False)

    def tails(self, reported: bool) -> Singles:
        """P(N >= l) [l, c, d, g] as a family reports it or as it is."""
        if reported not in self.known:
            self.known[reported] = tails(self.arrays, self.offsets, reported)
        return self.known[reported]


def record_chances(curves: Curves, kinds: list[RecordKind]) -> Singles:
    """P(record of each kind) [u, c, d, g], a rare slip of the pen included."""
    arrays = curves.arrays
    chances = np.empty((len(kinds), *arrays.table_shape), dtype=np.float32)
    for reported in (True, False):
        which = [u for u, kind in enumerate(kinds) if kind[3] is reported]
        if which:
            rows = _rows(arrays, [kinds[u] for u in which])
            flat = curves.tails(reported).reshape(arrays.n_levels, -1)
            chances[which] = (rows @ flat).reshape(len(which), *arrays.table_shape)
    slip = arrays.prior.slip
    widths = np.array([(hi - lo + 1) / arrays.n_levels for *_, lo, hi in kinds], dtype=np.float32)
    chances *= 1 - slip
    chances += (slip * widths)[:, None, None, None].astype(np.float32)
    return np.maximum(chances, LEAST_CHANCE)


def _rows(arrays: Bank, kinds: list[RecordKind]) -> Singles:
    rows = [read_row(arrays.n_levels, up, down, exact, lo, hi) for up, down, exact, _, lo, hi in kinds]
    return np.array(rows, dtype=np.float32)


def learned(
    curves: Curves,
    precision: Floats,
    kinds: list[RecordKind],
    counts: Floats,
    chances: Singles,
    responsible: Singles,
) -> tuple[Floats, Floats]:
    """Offsets and their precisions [c, L - 1] after a day.

    counts [k, u]; chances [u, c, d, g] as `record_chances` gave them; responsible [k, c, d, g] the posterior
    of location and day effect given each shape.
    """
    arrays, offsets = curves.arrays, curves.offsets
    if arrays.n_levels <= 2:
        return offsets, precision
    gradient, information = _slopes(curves, kinds, counts, chances, responsible)
    prior = arrays.prior
    kept = arrays.offset_precision + prior.offset_memory * (precision - arrays.offset_precision)
    after = kept + prior.offset_trust * information
    step = prior.offset_trust * gradient / after
    moved = offsets + np.clip(step, -LARGEST_STEP, LARGEST_STEP)
    return falling(moved), after


def _slopes(
    curves: Curves,
    kinds: list[RecordKind],
    counts: Floats,
    chances: Singles,
    responsible: Singles,
) -> tuple[Floats, Floats]:
    arrays, size = curves.arrays, responsible[0].size
    mass = counts.T.astype(np.float32) @ responsible.reshape(len(responsible), size)
    ratio = mass / chances.reshape(len(kinds), size)
    square = ratio / chances.reshape(len(kinds), size)
    rows = _rows(arrays, kinds)[:, 1:-1] * np.float32(1 - arrays.prior.slip)
    gradient = np.zeros((arrays.n_levels - 2, *arrays.table_shape), dtype=np.float32)
    information = np.zeros_like(gradient)
    for reported in (True, False):
        which = [u for u, kind in enumerate(kinds) if kind[3] is reported]
        if which:
            t = curves.tails(reported)[1:-1]
            slope = t * (1 - t)
            gradient += (rows[which].T @ ratio[which]).reshape(slope.shape) * slope
            information += (rows[which].T ** 2 @ square[which]).reshape(slope.shape) * slope**2
    both = np.stack([gradient, information]).reshape(2, *gradient.shape[:2], -1)
    summed = (both @ np.ones(both.shape[-1], dtype=np.float32)).astype(np.float64)
    return summed[0].T, summed[1].T


def falling(offsets: Floats) -> Floats:
    """Offsets made to fall with independence, never below 0: more help never lowers a chance."""
    raised = np.maximum.accumulate(np.maximum(offsets, 0.0)[:, ::-1], axis=1)[:, ::-1]
    return np.ascontiguousarray(raised)


def plain_chances(arrays: Bank, offsets: Floats) -> Singles:
    """Chance [l, c, g] with each help, l = 0..L, on a day without day effect."""
    found = np.ones((arrays.n_levels, len(arrays.shapes), len(arrays.grid)), dtype=np.float32)
    shifts = np.append(offsets.T, np.zeros((1, len(offsets))), axis=0)[:, :, None]
    found[1:] = 1 / (1 + np.exp(-(arrays.grid + shifts)))
    return found


def typical(arrays: Bank, offsets: Floats, level: int) -> Floats:
    """True chance [c, f] on the finer grid with this help, averaged over days."""
    n = len(arrays.shapes)
    if level == 0:
        return np.ones((n, arrays.finer.shape[1]))
    shift = np.zeros(n) if level == arrays.n_levels - 1 else offsets[:, level - 1]
    x = arrays.fine_places + shift[:, None, None].astype(np.float32)
    chance = 1 / (1 + np.exp(-x))
    return np.asarray(np.einsum("cdf,d->cf", chance, arrays.node_weights), dtype=np.float64)
