"""Lines that run right across a bubble and on over the paper: creases, not marks.

A fold darkens a thin line through whole rows of bubbles. What lies on such a line on both sides of the ring
is taken off the inside too; a mark's own strokes end near the ring and stay.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from bylittle.core.sheet.geometry import BUBBLE

TURNS = 36  # directions of lines looked at, over half a circle
BIN_MM = 0.3
BINS = 17
NEAR, FAR = 1.45, 2.0  # radii between which a line must be seen on both sides
LEAST = 0.04

Patches = NDArray[np.float32]


def without_creases(
    ink: Patches, side: int, scale: float
) -> tuple[Patches, NDArray[np.float64], NDArray[np.float64]]:
    """`ink` (bubbles, side, side) with the darkness of lines that cross the whole patch taken off.

    And how wide (millimetres) and how dark the line was on each; 0 where there was none. A wide one is a
    shadow.
    """
    before, after = _ends(side, scale)
    flat = ink.reshape(len(ink), -1).T
    on_both = np.minimum(before @ flat, after @ flat).reshape(TURNS, BINS, -1)
    best = on_both.max(1).argmax(0)
    cleaned, widths, depths = ink.copy(), np.zeros(len(ink)), np.zeros(len(ink))
    for number, turn in enumerate(best):
        profile = np.clip(on_both[turn, :, number], 0, None)
        if profile.max() >= LEAST:
            depths[number] = profile.max()
            widths[number] = BIN_MM * float((profile > profile.max() / 2).sum())
            cleaned[number] -= np.interp(_offsets(side, scale)[turn], _middles(), profile).astype(np.float32)
    return cleaned, widths, depths


def _middles() -> NDArray[np.float64]:
    return np.asarray((np.arange(BINS) - BINS // 2) * BIN_MM, np.float64)


@cache
def _offsets(side: int, scale: float) -> NDArray[np.float32]:
    """Distance of each pixel from the middle line in each direction, millimetres."""
    x, y, turns = _grid(side, scale)
    return np.asarray(-np.sin(turns) * x + np.cos(turns) * y, np.float32)


def _grid(side: int, scale: float) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    axis = (np.arange(side) + 0.5 - side / 2) / scale
    x, y = np.meshgrid(axis, axis)
    return x, y, (np.arange(TURNS) * np.pi / TURNS)[:, None, None]


@cache
def _ends(side: int, scale: float) -> tuple[sparse.csr_matrix, sparse.csr_matrix]:
    """Averages over each bin of each direction, on the one and on the other side of the bubble."""
    x, y, turns = _grid(side, scale)
    along = np.cos(turns) * x + np.sin(turns) * y
    far = np.hypot(x, y)[None]
    seen = (far > NEAR * BUBBLE) & (far < FAR * BUBBLE)
    bins = np.round(_offsets(side, scale) / BIN_MM).astype(int) + BINS // 2
    known = (bins >= 0) & (bins < BINS) & seen
    return _averages(bins, known & (along < 0), side), _averages(bins, known & (along > 0), side)


def _averages(bins: NDArray[np.int_], chosen: NDArray[np.bool_], side: int) -> sparse.csr_matrix:
    turn, row, column = np.nonzero(chosen)
    line = turn * BINS + bins[chosen]
    counts = np.bincount(line, minlength=TURNS * BINS)
    weight = (1 / counts[line]).astype(np.float32)
    return sparse.csr_matrix((weight, (line, row * side + column)), shape=(TURNS * BINS, side * side))
