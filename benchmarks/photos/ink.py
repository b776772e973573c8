"""What hands do to bubbles: marks by name, drawn on a page's picture.

A page is a float array (rows, columns, 3), 0 black to 1 white, with `scale` pixels a millimetre. Clear marks
are what a family means as a mark; taken-back marks are what it means as none; the rest may be asked about.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.photos import hands
from bylittle.core.sheet.geometry import Bubble

Picture = NDArray[np.float32]

CLEAR = ("fill", "tick", "cross", "slash", "spill", "off_centre")
TAKEN_BACK = ("rubbed_out", "crossed_out")
UNCLEAR = ("dot", "ring", "stray")
HANDS = ("first", "second")
_SUB = 4  # bits below the pixel for OpenCV's drawing


@dataclass(frozen=True, slots=True)
class Pen:
    """A writing tool: colour (RGB, 0..1), stroke width in millimetres, grain 0 even to 1 patchy.

    `hand` says by whose habits it draws: this module's or `hands`.
    """

    name: str
    colour: tuple[float, float, float]
    width: float
    grain: float
    hand: str = "first"


def pen(rng: Generator) -> Pen:
    """A biro, pencil or felt-tip out of the kitchen drawer."""
    name = str(rng.choice(["biro", "biro", "pencil", "pencil", "felt"]))
    if name == "biro":
        colour = [(0.10, 0.15, 0.50), (0.08, 0.08, 0.10), (0.45, 0.08, 0.10)][
            int(rng.choice(3, p=[0.5, 0.4, 0.1]))
        ]
        return Pen(name, colour, rng.uniform(0.35, 0.6), rng.uniform(0.0, 0.25))
    if name == "pencil":
        grey = rng.uniform(0.25, 0.48)
        return Pen(name, (grey, grey, grey * 1.03), rng.uniform(0.4, 0.8), rng.uniform(0.2, 0.5))
    shade = rng.uniform(0.03, 0.2)
    return Pen(name, (shade, shade, rng.uniform(0.05, 0.5)), rng.uniform(0.8, 1.4), 0.05)


def other_pen(rng: Generator) -> Pen:
    """What else lies about, held by the second hand: thin and thick, red and green, hard pencil, crayon."""
    name = str(rng.choice(["thin biro", "green biro", "red felt", "hard pencil", "soft pencil", "crayon"]))
    colour, thin, thick, grain = {
        "thin biro": ((0.12, 0.14, 0.35), 0.3, 0.45, 0.1),
        "green biro": ((0.08, 0.42, 0.22), 0.4, 0.6, 0.1),
        "red felt": ((0.8, 0.12, 0.15), 0.7, 1.3, 0.05),
        "hard pencil": ((0.5, 0.5, 0.52), 0.4, 0.6, 0.3),
        "soft pencil": ((0.3, 0.3, 0.31), 0.6, 0.9, 0.35),
        "crayon": ((0.25, 0.2, 0.5), 1.0, 1.8, 0.5),
    }[name]
    shade = tuple(float(np.clip(part + rng.normal(0, 0.03), 0, 1)) for part in colour)
    return Pen(name, (shade[0], shade[1], shade[2]), rng.uniform(thin, thick), grain, "second")


def draw(page: Picture, bubble: Bubble, mark: str, tool: Pen, rng: Generator, scale: float) -> None:
    """Draw `mark` on `bubble`, in place."""
    half = int(np.ceil(3.4 * bubble.r * scale))
    x, y = bubble.x * scale, bubble.y * scale
    left, top = int(x) - half, int(y) - half
    cover = np.zeros((2 * half, 2 * half), np.float32)
    centre = np.array([x - left, y - top])
    if tool.hand == "second" or mark not in _MARKS:
        cover = hands.cover(mark, cover.shape, centre, bubble.r * scale, tool.width * scale, rng)
    else:
        _MARKS[mark](cover, centre, bubble.r * scale, tool.width * scale, rng)
    cover *= _grain(cover.shape, tool.grain, rng)
    if mark == "rubbed_out":
        cover = _rub(cover, scale, rng)
    _lay(page, cover, left, top, tool.colour)


def _lay(page: Picture, cover: Picture, left: int, top: int, colour: tuple[float, float, float]) -> None:
    height, width = page.shape[:2]
    x0, y0, x1, y1 = (
        max(left, 0),
        max(top, 0),
        min(left + cover.shape[1], width),
        min(top + cover.shape[0], height),
    )
    part = cover[y0 - top : y1 - top, x0 - left : x1 - left, None]
    seen = page[y0:y1, x0:x1]
    seen *= 1 - part * (1 - np.array(colour, np.float32))


def _grain(shape: tuple[int, ...], grain: float, rng: Generator) -> Picture:
    if not grain:
        return np.ones(shape, np.float32)
    noise = cv2.GaussianBlur(rng.normal(0, 1, shape).astype(np.float32), (0, 0), 1.2)
    return np.clip(1 - grain * (0.5 + 1.4 * noise), 0.15, 1).astype(np.float32)


def _line(cover: Picture, points: NDArray[np.float64], width: float) -> None:
    """A stroke through points, with a width that need not be whole pixels."""
    thick = max(1, round(width))
    layer = np.zeros_like(cover)
    fixed = np.round(points * 2**_SUB).astype(np.int32).reshape(-1, 1, 2)
    cv2.polylines(layer, [fixed], False, 1.0, thick, cv2.LINE_AA, _SUB)
    np.maximum(cover, layer * min(1.0, width / thick + 0.2), out=cover)


def _wobble(points: list[tuple[float, float]], rng: Generator, much: float) -> NDArray[np.float64]:
    """A hand-drawn way through points."""
    ends = np.array(points, np.float64)
    where = np.linspace(0, len(ends) - 1, 6 * len(ends))
    way = np.stack([np.interp(where, range(len(ends)), ends[:, k]) for k in (0, 1)], 1)
    drift = np.cumsum(rng.normal(0, much / 3, way.shape), 0)
    return way + drift - np.linspace(0, 1, len(way))[:, None] * drift[-1]


def _disc(cover: Picture, centre: NDArray[np.float64], radius: float, rng: Generator, rough: float) -> None:
    angles = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    waves = sum(rng.normal(0, rough / n) * np.cos(n * angles + rng.uniform(0, 6.3)) for n in range(2, 6))
    edge = centre + radius * (1 + waves)[:, None] * np.stack([np.cos(angles), np.sin(angles)], 1)
    layer = np.zeros_like(cover)
    cv2.fillPoly(layer, [np.round(edge * 2**_SUB).astype(np.int32)], 1.0, cv2.LINE_AA, _SUB)
    np.maximum(cover, layer, out=cover)


def _hatch(cover: Picture, centre: NDArray[np.float64], radius: float, width: float, rng: Generator) -> None:
    """Zigzag strokes, as most people fill a ring."""
    angle = rng.uniform(0, np.pi)
    along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    points = []
    for number, offset in enumerate(np.arange(-0.92, 0.93, max(0.1, 0.95 * width / radius))):
        reach = radius * np.sqrt(max(0.02, 1 - offset**2)) * rng.uniform(0.85, 1.08)
        points.append(centre + across * offset * radius + along * reach * (1 if number % 2 else -1))
    _line(cover, np.array(points), width)


def _fill(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    place = centre + rng.normal(0, 0.06 * r, 2)
    if rng.random() < 0.5:
        _hatch(cover, place, r * rng.uniform(0.85, 1.02), width, rng)
    else:
        _disc(cover, place, r * rng.uniform(0.72, 1.02), rng, 0.05)


def _tick(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    size = r * rng.uniform(0.75, 1.35)
    shift = rng.normal(0, 0.12 * r, 2)
    points = [(-0.75, -0.05), (-0.2, 0.65), (0.95, -0.95)]
    _line(cover, _wobble([tuple(centre + shift + size * np.array(p)) for p in points], rng, 0.06 * r), width)


def _cross(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    size = r * rng.uniform(0.65, 1.15)
    turn = rng.normal(0, 0.2)
    for angle in (np.pi / 4 + turn, 3 * np.pi / 4 + turn + rng.normal(0, 0.1)):
        arm = size * np.array([np.cos(angle), np.sin(angle)])
        shift = rng.normal(0, 0.08 * r, 2)
        _line(
            cover, _wobble([tuple(centre + shift - arm), tuple(centre + shift + arm)], rng, 0.06 * r), width
        )


def _slash(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    size = r * rng.uniform(0.75, 1.3)
    angle = rng.uniform(0, np.pi)
    arm = size * np.array([np.cos(angle), np.sin(angle)])
    shift = rng.normal(0, 0.12 * r, 2)
    _line(cover, _wobble([tuple(centre + shift - arm), tuple(centre + shift + arm)], rng, 0.08 * r), width)


def _spill(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    place = centre + rng.normal(0, 0.1 * r, 2)
    if rng.random() < 0.4:
        _hatch(cover, place, r * rng.uniform(1.1, 1.3), width, rng)
    else:
        _disc(cover, place, r * rng.uniform(1.08, 1.35), rng, 0.08)


def _off_centre(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    angle, far = rng.uniform(0, 2 * np.pi), r * rng.uniform(0.25, 0.6)
    _disc(
        cover, centre + far * np.array([np.cos(angle), np.sin(angle)]), r * rng.uniform(0.65, 0.95), rng, 0.06
    )


def _dot(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    _disc(cover, centre + rng.normal(0, 0.3 * r, 2), max(width / 2, r * rng.uniform(0.1, 0.22)), rng, 0.05)


def _ring(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    angles = np.linspace(0, 2 * np.pi * rng.uniform(0.9, 1.1), 40)
    size = r * rng.uniform(1.15, 1.5) * (1 + 0.06 * np.cos(2 * angles + rng.uniform(0, 6)))
    _line(cover, centre + size[:, None] * np.stack([np.cos(angles), np.sin(angles)], 1), width)


def _rubbed_out(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    _MARKS[str(rng.choice(["fill", "tick", "cross", "fill"]))](cover, centre, r, width, rng)


def _rub(cover: Picture, scale: float, rng: Generator) -> Picture:
    """What a rubber leaves: a pale, smeared trace."""
    angle = rng.uniform(0, np.pi)
    size = int(rng.uniform(0.6, 1.6) * scale) | 1
    kernel = np.zeros((size, size), np.float32)
    mid = size // 2
    reach = np.array([np.cos(angle), np.sin(angle)]) * mid
    cv2.line(kernel, tuple(np.int32(mid - reach)), tuple(np.int32(mid + reach)), 1.0, 1)
    smeared = cv2.filter2D(cover, -1, kernel / kernel.sum())
    return np.asarray(smeared * rng.uniform(0.08, 0.35), np.float32)


def _crossed_out(cover: Picture, centre: NDArray[np.float64], r: float, width: float, rng: Generator) -> None:
    _MARKS[str(rng.choice(["fill", "fill", "tick", "cross"]))](cover, centre, r, width, rng)
    how = str(rng.choice(["x", "line", "scribble"]))
    if how == "scribble":
        size = r * rng.uniform(1.3, 1.8)
        points = [
            (side * size, offset * r)
            for offset, side in zip(np.linspace(-0.9, 0.9, 6), [1, -1] * 3, strict=True)
        ]
        _line(cover, _wobble([tuple(centre + np.array(p)) for p in points], rng, 0.1 * r), width)
        return
    turns = (np.pi / 4, 3 * np.pi / 4) if how == "x" else (rng.normal(0, 0.3),)
    for turn in turns:
        arm = r * rng.uniform(1.45, 2.2) * np.array([np.cos(turn), np.sin(turn)])
        _line(cover, _wobble([tuple(centre - arm), tuple(centre + arm)], rng, 0.1 * r), width)


_MARKS = {
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
}
