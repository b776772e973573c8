"""The small-parts cylinder: does a rigid body fit, whichever way it is turned?

The cylinder is 31.75 mm wide; its floor slopes from 25.4 mm deep on one side to 57.15 mm on the other
(16 CFR 1501.4 and its figure 1; the slope from memory). Its inside is convex: a round wall, a flat
top and a floor at 45 degrees.

A sphere fits when it is no wider than the cylinder. So does a ring: lying flat it is never too high,
and whichever way it is turned it has one horizontal line as long as its outer width. The same line
makes every cylinder that is wider than 31.75 mm too large. What is left, boxes and cylinders, is
searched: a grid of turnings, then finer and finer steps around those that leave the most room.

A circle is taken as 90 points, which leans to "fits" by less than 0.01 mm: on the safe side.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

WIDTH_MM = 31.75
SHALLOW_MM = 25.4
DEEP_MM = 57.15

_RADIUS = WIDTH_MM / 2
_MIDDLE_DEPTH = (SHALLOW_MM + DEEP_MM) / 2
_LONGEST_LINE = float(np.hypot(WIDTH_MM, DEEP_MM))
_TOLERANCE = 1e-6
_SEEDS = 12
_ROUNDS = 45
_SHRINK = 0.8


def fits(shape: str, sizes_mm: Mapping[str, float]) -> bool:
    """Whether a body of checked sizes (see `materials.SIZES`) fits in some orientation."""
    if shape == "sphere":
        return sizes_mm["diameter_mm"] <= WIDTH_MM
    if shape == "ring":
        return sizes_mm["outer_mm"] <= WIDTH_MM
    if shape == "cylinder":
        return sizes_mm["diameter_mm"] <= WIDTH_MM and _searched(_can(sizes_mm), turns=2)
    return min(sizes_mm.values()) <= WIDTH_MM and _searched(_box(sizes_mm), turns=3)


def _box(sizes: Mapping[str, float]) -> Array:
    half = np.sort([sizes["x_mm"], sizes["y_mm"], sizes["z_mm"]]) / 2
    return np.array(list(product((-1.0, 1.0), repeat=3))) * half


def _can(sizes: Mapping[str, float], n: int = 90) -> Array:
    angle = np.arange(n) * (2 * np.pi / n)
    rim = np.column_stack([np.cos(angle), np.sin(angle)]) * sizes["diameter_mm"] / 2
    return np.vstack([np.column_stack([rim, np.full(n, side * sizes["length_mm"] / 2)]) for side in (-1, 1)])


def _searched(points: Array, turns: int) -> bool:
    """Whether the hull of points (centred, the same seen from both sides) fits in some turning."""
    if 2 * float(np.linalg.norm(points, axis=1).max()) > _LONGEST_LINE + _TOLERANCE:
        return False
    places, steps = _grid(turns)
    places, room = _best(points, places)
    for _ in range(_ROUNDS):
        if room >= -_TOLERANCE:
            return True
        near = (places[:, None, :] + _neighbours(len(steps)) * steps).reshape(-1, len(steps))
        places, room = _best(points, near)
        steps = steps * _SHRINK
    return room >= -_TOLERANCE


def _grid(turns: int) -> tuple[Array, Array]:
    """Places to start from, each a row of angles and a sideways move in mm, and the size of a step."""
    step = np.pi / (15 if turns == 3 else 30)
    axes = [np.arange(0, np.pi + step / 2, step), np.arange(0, np.pi / 2 + step / 2, step)]
    if turns == 3:
        axes.append(np.arange(0, np.pi - step / 2, step))
    axes.append(np.zeros(1))
    places = np.column_stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="ij")])
    return places, np.array([step / 2] * turns + [1.0])


def _neighbours(axes: int) -> Array:
    return np.array(list(product((-1.0, 0.0, 1.0), repeat=axes)))


def _best(points: Array, places: Array) -> tuple[Array, float]:
    """The places with the most room, best first, and the room of the best in mm."""
    room = _room(points, places)
    best = np.argsort(-room, kind="stable")[:_SEEDS]
    return places[best], float(room[best[0]])


def _room(points: Array, places: Array) -> Array:
    """Room left at the wall, the top touching the rim and the floor just met. Sinking or moving the
    body further never helps."""
    turned = _turned(points, places[:, :-1])
    x, y, z = turned[..., 0], turned[..., 1], turned[..., 2]
    across = z.max(axis=1) + (z - x).max(axis=1) - _MIDDLE_DEPTH
    far = np.hypot(x + np.maximum(across, 0.0)[:, None], y + places[:, -1:])
    return np.asarray(_RADIUS - far.max(axis=1))


def _turned(points: Array, angles: Array) -> Array:
    """The points spun about their axis (where a third angle is given), tilted, and turned about z."""
    spun = points[None, :, :]
    if angles.shape[1] == 3:
        spun = _about_z(spun, angles[:, 2])
    cos, sin = np.cos(angles[:, 1])[:, None], np.sin(angles[:, 1])[:, None]
    x, y, z = spun[..., 0], spun[..., 1], spun[..., 2]
    return _about_z(np.stack([cos * x + sin * z, y + 0 * cos, cos * z - sin * x], axis=-1), angles[:, 0])


def _about_z(points: Array, angle: Array) -> Array:
    cos, sin = np.cos(angle)[:, None], np.sin(angle)[:, None]
    x, y = points[..., 0], points[..., 1]
    return np.stack([cos * x - sin * y, sin * x + cos * y, points[..., 2] + 0 * cos], axis=-1)
