"""The cells of a square code that is too soft or too bent for a plain reader, found by its fixed parts.

Finder squares, border and clock track are the same in every code of a kind. Where they fit best, there the
grid lies, shifted, stretched and bowed as the paper is; and they teach how blur has mixed the cells.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.reading.pictures import Grey

Cells = NDArray[np.float32]
Field = NDArray[np.float64]

REACH, STEP = 6.0, 0.6  # how far off its place a code is looked for, millimetres
STARTS = 3  # places from which the grid is bent to fit
FINER = (0.8, 0.4, 0.2, 0.1)  # millimetres by which corners and edges are moved in turn
ROUNDS = 3
RIDGE = 0.02


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells in a row, pixels a millimetre and, in pixels, where they lie: corners and how the edges bow."""

    count: int
    scale: float
    corners: Field
    bow: Field

    def moved(self, which: int, step: Field) -> Grid:
        """One corner (0 to 3) or bow (4, 5) moved; -1 moves all corners."""
        corners, bow = self.corners.copy(), self.bow.copy()
        if which < 0:
            corners += step
        elif which < 4:
            corners[which] += step
        else:
            bow[which - 4] += step
        return Grid(self.count, self.scale, corners, bow)

    def cells(self, light: Cells, across: float = 0.0, down: float = 0.0) -> Cells:
        """The values at the middles of the cells, or so many cells beside them."""
        steps = (np.arange(self.count) + 0.5) / self.count
        u, v = np.meshgrid(steps + across / self.count, steps + down / self.count)
        u, v = u[..., None], v[..., None]
        top = (1 - u) * self.corners[0] + u * self.corners[1]
        foot = (1 - u) * self.corners[3] + u * self.corners[2]
        at = (1 - v) * top + v * foot + u * (1 - u) * self.bow[0] + v * (1 - v) * self.bow[1]
        at = at.astype(np.float32)
        border = cv2.BORDER_REPLICATE
        return np.asarray(cv2.remap(light, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=border))


def redrawn(crop: Grey, side_mm: float, scale: float, known: Cells) -> Iterator[Grey]:
    """The code in the middle of `crop`, `side_mm` wide, drawn again from its cells, likeliest first.

    `known` is +1 where a cell is always black, -1 where always white and 0 for data.
    """
    light = _levelled(crop)
    for grid in _fitted(light, _middle_grid(crop, side_mm, scale, len(known)), known):
        yield _drawn(grid.cells(light) > 0)
        yield _drawn(_equalised(light, grid, known) > 0)


def _middle_grid(crop: Grey, side_mm: float, scale: float, count: int) -> Grid:
    middle = np.array([crop.shape[1], crop.shape[0]]) / 2 - 0.5
    half = side_mm * scale / 2
    corners = middle + half * np.array([[-1.0, -1], [1, -1], [1, 1], [-1, 1]])
    return Grid(count, scale, corners, np.zeros((2, 2)))


def _fitted(light: Cells, start: Grid, known: Cells) -> list[Grid]:
    """The grids in whose fixed cells the code's fixed parts are seen best."""
    steps = np.arange(-REACH, REACH + STEP / 2, STEP) * start.scale
    grids = [start.moved(-1, np.array([x, y])) for x in steps for y in steps]
    fits = np.array([_fit(light, grid, known) for grid in grids])
    bent = [_bent_to_fit(light, grids[number], known) for number in np.argsort(-fits)[:STARTS]]
    return sorted(bent, key=lambda grid: -_fit(light, grid, known))


def _fit(light: Cells, grid: Grid, known: Cells) -> float:
    return float((grid.cells(light) * known).sum())


def _bent_to_fit(light: Cells, grid: Grid, known: Cells) -> Grid:
    """Moved by its corners and bowed edges, in ever finer steps, as long as that fits better."""
    best = _fit(light, grid, known)
    ways = np.array([[1.0, 0], [-1, 0], [0, 1], [0, -1]]) * grid.scale
    for step in FINER:
        for _ in range(ROUNDS):
            before = best
            for which in range(-1, 6):
                for way in ways * step * (4 if which > 3 else 1):
                    other = grid.moved(which, way)
                    fit = _fit(light, other, known)
                    grid, best = (other, fit) if fit > best else (grid, best)
            if best == before:
                break
    return grid


def _equalised(light: Cells, grid: Grid, known: Cells) -> Cells:
    """Cells with the mixing of neighbours undone, as far as the fixed cells teach it (ridge regression)."""
    around = [grid.cells(light, i / 2, j / 2) for i in range(-3, 4) for j in range(-3, 4)]
    seen = np.stack([*around, np.ones_like(known)], 2).reshape(known.size, -1)
    taught = known.ravel() != 0
    lesson = seen[taught]
    ridge = RIDGE * float((lesson**2).sum(0).mean()) * np.eye(seen.shape[1])
    weights = np.linalg.solve(lesson.T @ lesson + ridge, lesson.T @ known.ravel()[taught])
    return np.asarray((seen @ weights).reshape(known.shape), np.float32)


def _levelled(crop: Grey) -> Cells:
    """Darkness around a local middle: positive where a cell is black."""
    soft = cv2.GaussianBlur(crop, (0, 0), 1.5).astype(np.float32)
    reach = np.ones((27, 27), np.uint8)
    high, low = cv2.dilate(soft, reach), cv2.erode(soft, reach)
    high, low = (cv2.GaussianBlur(side, (0, 0), 12) for side in (high, low))
    return np.asarray(((high + low) / 2 - soft) / np.maximum(high - low, 8), np.float32)


def _drawn(cells: NDArray[np.bool_]) -> Grey:
    clean = np.where(np.kron(cells, np.ones((4, 4))), 0, 255).astype(np.uint8)
    return np.asarray(cv2.copyMakeBorder(clean, 16, 16, 16, 16, cv2.BORDER_CONSTANT, value=255), np.uint8)
