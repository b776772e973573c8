"""A second hand: the same marks by name as `ink`, drawn by other habits (arcs, loops, long tails, pressure).

Each mark is a list of strokes, a stroke a row of points in radii around the bubble's middle; a pen's pressure
swells and fades along it. A mark taken back gets a second list that goes over the first.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Picture = NDArray[np.float32]
Stroke = NDArray[np.float64]


def cover(
    mark: str, shape: tuple[int, int], centre: Stroke, r: float, width: float, rng: Generator
) -> Picture:
    """How much of each pixel `mark` covers, 0..1."""
    strokes = _MARKS[mark](rng, width / r)
    layer = np.zeros(shape, np.float32)
    pressure = rng.uniform(0.75, 1.0)
    for stroke in strokes:
        _press(layer, centre + stroke * r, width, pressure, rng)
    return layer


def _press(layer: Picture, points: Stroke, width: float, pressure: float, rng: Generator) -> None:
    """Round nibs along the stroke, a quarter of a width apart."""
    lengths = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    steps = np.linspace(0, along[-1], max(2, int(along[-1] / max(0.3, width / 4))))
    x, y = (np.interp(steps, along, points[:, axis]) for axis in (0, 1))
    swell = 1 + 0.15 * np.sin(steps / max(1.0, along[-1]) * rng.uniform(3, 9) + rng.uniform(0, 6))
    mine = np.zeros_like(layer)
    for number in range(len(steps)):
        at = (int(x[number] * 16), int(y[number] * 16))
        cv2.circle(mine, at, max(8, int(width * swell[number] * 8)), pressure, -1, cv2.LINE_AA, 4)
    np.maximum(layer, mine, out=layer)


def _arc(size: float, start: float, end: float, flat: float = 1.0, points: int = 24) -> Stroke:
    angles = np.linspace(start, end, points)
    return size * np.stack([np.cos(angles), flat * np.sin(angles)], 1)


def _moved(strokes: list[Stroke], rng: Generator, much: float) -> list[Stroke]:
    return [stroke + rng.normal(0, much, 2) for stroke in strokes]


def _fill(rng: Generator, width: float) -> list[Stroke]:
    """A spiral from the outside in, or loops from left to right."""
    if rng.random() < 0.5:
        turns = 0.9 / max(0.12, width * 0.8)
        angles = np.linspace(0, 2 * np.pi * turns, int(30 * turns) + 2)
        reach = np.linspace(rng.uniform(0.8, 0.95), 0.05, len(angles))
        return _moved([reach[:, None] * np.stack([np.cos(angles), np.sin(angles)], 1)], rng, 0.05)
    across = np.linspace(-0.8, 0.8, max(7, int(1.6 / max(0.1, width * 0.7)) * 8))
    wave = np.sin(np.arange(len(across)) * np.pi / 4) * np.sqrt(1 - across**2) * 0.95
    turn = rng.uniform(0, np.pi)
    ways = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return _moved([np.stack([across, wave], 1) @ ways.T], rng, 0.05)


def _tick(rng: Generator, width: float) -> list[Stroke]:
    """Short down, long and curved up: the tail may leave the ring by far."""
    size, tail = rng.uniform(0.8, 1.2), rng.uniform(0.8, 1.7) if rng.random() < 0.9 else 2.4
    down = np.linspace([-0.6, -0.2], [-0.1, 0.5], 6)
    bend = np.linspace(0, 1, 12)[:, None]
    up = np.array([-0.1, 0.5]) + bend * np.array([tail, -1.0 * tail]) + bend * (1 - bend) * [0.25, 0.0]
    return _moved([size * np.concatenate([down, up])], rng, 0.1)


def _cross(rng: Generator, width: float) -> list[Stroke]:
    size, slant = rng.uniform(0.6, 1.2), rng.normal(0, 0.15)
    ends = [(np.pi / 4 + slant), (3 * np.pi / 4 + slant + rng.normal(0, 0.12))]
    strokes = [
        np.linspace([-np.cos(a), -np.sin(a)], [np.cos(a), np.sin(a)], 8) * size * rng.uniform(0.85, 1.1)
        for a in ends
    ]
    return _moved(strokes, rng, 0.07)


def _slash(rng: Generator, width: float) -> list[Stroke]:
    a, size = rng.normal(-np.pi / 4, 0.4), rng.uniform(0.7, 1.35)
    straight = np.linspace([-np.cos(a), -np.sin(a)], [np.cos(a), np.sin(a)], 12) * size
    bow = np.sin(np.linspace(0, np.pi, 12))[:, None] * rng.normal(0, 0.08) * np.array([-np.sin(a), np.cos(a)])
    return _moved([straight + bow], rng, 0.1)


def _spill(rng: Generator, width: float) -> list[Stroke]:
    """A fill that went over the ring on all sides, or with one loop far out."""
    larger = [1.3 * stroke for stroke in _fill(rng, width)]
    if rng.random() < 0.4:
        start = rng.uniform(0, 6.3)
        larger.append(_arc(1.25, start, start + rng.uniform(1, 3)))
    return larger


def _off_centre(rng: Generator, width: float) -> list[Stroke]:
    a, far = rng.uniform(0, 6.3), rng.uniform(0.3, 0.65)
    return [0.8 * stroke + far * np.array([np.cos(a), np.sin(a)]) for stroke in _fill(rng, width)]


def _dot(rng: Generator, width: float) -> list[Stroke]:
    return _moved([np.array([[0.0, 0.0], [0.05, 0.02]])], rng, 0.3)


def _ring(rng: Generator, width: float) -> list[Stroke]:
    start = rng.uniform(0, 6.3)
    return [_arc(rng.uniform(1.2, 1.7), start, start + rng.uniform(5.9, 7.2), rng.uniform(0.8, 1.1), 50)]


def _crossed_out(rng: Generator, width: float) -> list[Stroke]:
    first = _MARKS[str(rng.choice(["fill", "tick", "cross", "slash"]))](rng, width)
    reach = rng.uniform(1.35, 2.3)
    how = str(rng.choice(["x", "line", "two lines", "zigzag"]))
    if how == "zigzag":
        y = np.linspace(-0.9, 0.9, 7)
        return [*first, np.stack([reach * np.resize([-1, 1], 7), y], 1)]
    tilts = {"x": (0.8, 2.35), "line": (rng.normal(0, 0.5),), "two lines": (0.1, 0.1)}[how]
    over = [np.linspace([-np.cos(a), -np.sin(a)], [np.cos(a), np.sin(a)], 8) * reach for a in tilts]
    if how == "two lines":
        over = [over[0] + [0, 0.3], over[1] - [0, 0.3]]
    return [*first, *_moved(over, rng, 0.08)]


def _rubbed_out(rng: Generator, width: float) -> list[Stroke]:
    return _MARKS[str(rng.choice(["fill", "tick", "cross", "slash", "spill"]))](rng, width)


def _stray(rng: Generator, width: float) -> list[Stroke]:
    """A line that goes on over bubbles beside it."""
    a = rng.normal(0, 0.15)
    return [np.linspace([-3.2 * np.cos(a), -3.2 * np.sin(a)], [3.2 * np.cos(a), 3.2 * np.sin(a)], 20)]


_MARKS: MappingProxyType[str, Callable[[Generator, float], list[Stroke]]] = MappingProxyType(
    {
        "fill": _fill,
        "tick": _tick,
        "cross": _cross,
        "slash": _slash,
        "spill": _spill,
        "off_centre": _off_centre,
        "dot": _dot,
        "ring": _ring,
        "rubbed_out": _rubbed_out,
        "crossed_out": _crossed_out,
        "stray": _stray,
    }
)
