"""The legend: only what is really on the graph, each with its sign, wrapped into the width there is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from bylittle.charts import letters
from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.shapes import Dot, Shape, draw_dot

Sign: TypeAlias = Callable[[Canvas, float, float], None]
"""Draws the sign of an item with its middle at x, y."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the legend."""

    sign: Sign
    words: str


def dot_sign(shape: Shape, filled: bool) -> Sign:
    """A data point."""
    return lambda canvas, x, y: draw_dot(canvas, Dot(x, y, shape, filled, ""), focusable=False)


def line_sign(ink: str, dash: str) -> Sign:
    """A short piece of a line."""

    def draw(canvas: Canvas, x: float, y: float) -> None:
        half = canvas.medium.small * 0.65
        canvas.polyline([(x - half, y), (x + half, y)], ink, dash)

    return draw


def patch_sign(fill: str, edge: str) -> Sign:
    """A small filled patch."""
    return lambda canvas, x, y: canvas.rect(Box(x - 7, y - 5, x + 7, y + 5), fill=fill, edge=edge)


def draw_legend(canvas: Canvas, items: Sequence[Item], left: float, top: float, right: float) -> float:
    """Put the items down from `top`, side by side while they fit; returns where the legend ends."""
    size = canvas.medium.small
    sign_room, gap, height = size * 2.0, size * 1.4, size * 1.45
    x, y, used = left, top, 1
    for item in items:
        room = right - left - sign_room
        lines = letters.wrapped(item.words, size, room, most=4)
        wide = sign_room + max(letters.width(line, size) for line in lines)
        if x > left and x + wide > right:
            x, y, used = left, y + used * height, 1
        item.sign(canvas, x + size * 0.7, y + height * 0.5)
        for number, line in enumerate(lines):
            canvas.text(x + sign_room, y + height * (number + 0.5) + size * 0.3, line)
        used = max(used, len(lines))
        x += wide + gap
    return y + used * height if items else top
