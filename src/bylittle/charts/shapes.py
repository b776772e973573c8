"""The marks of our graphs: what each shape and filling means is the same everywhere.

Practice is a circle, a probe a square; observed is filled, reported is open; help is drawn as share.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.media import Medium
from bylittle.charts.svg import Element, element


class Shape(StrEnum):
    """Outline of a data point."""

    CIRCLE = "circle"
    SQUARE = "square"
    TRIANGLE = "triangle"


@dataclass(frozen=True, slots=True)
class Dot:
    """A data point at x, y of the drawing. `label` is read out when it has the focus."""

    x: float
    y: float
    shape: Shape
    filled: bool
    label: str


def draw_dot(canvas: Canvas, dot: Dot, *, focusable: bool = True) -> None:
    """Put a data point down; open points are a little larger, so that a filled one shows inside."""
    radius = canvas.medium.dot * (1.0 if dot.filled else 1.2)
    mark = _outline(canvas, dot, radius)
    if not focusable:
        canvas.marks.append(mark)
        return
    canvas.marks.append(named_group(canvas.medium, dot.label, mark))


def named_group(medium: Medium, label: str, *marks: Element) -> Element:
    """Marks that are one thing: the keyboard reaches it on a page, and it is read out."""
    inside = (element("title", label), *marks)
    if not medium.focusable:
        return element("g", *inside)
    return element("g", *inside, class_="point", role="img", tabindex=0, aria_label=label)


def _outline(canvas: Canvas, dot: Dot, r: float) -> Element:
    colours, line = canvas.medium.colours, canvas.medium.line
    fill = colours["ink"] if dot.filled else colours["paper"]
    kind = "fill-ink line-paper" if dot.filled else "fill-paper line-ink"
    stroke = colours["paper"] if dot.filled else colours["ink"]
    width = line * (0.6 if dot.filled else 1.0)
    if dot.shape is Shape.CIRCLE:
        return element(
            "circle", cx=dot.x, cy=dot.y, r=r, class_=kind, fill=fill, stroke=stroke, stroke_width=width
        )
    return element(
        "path", d=_corners(dot, r), class_=kind, fill=fill, stroke=stroke, stroke_width=width,
        stroke_linejoin="miter",
    )  # fmt: skip


def _corners(dot: Dot, r: float) -> str:
    x, y = dot.x, dot.y
    if dot.shape is Shape.SQUARE:
        s = r * 0.95
        return f"M{x - s:.2f} {y - s:.2f}H{x + s:.2f}V{y + s:.2f}H{x - s:.2f}Z"
    return f"M{x - r:.2f} {y - r * 0.8:.2f}H{x + r:.2f}L{x:.2f} {y + r * 0.9:.2f}Z"


def draw_help_bar(canvas: Canvas, box: Box, level: int, top: int) -> None:
    """Help as share: as many cells as the ladder has rungs above the fullest help, filled = the child's."""
    cell = (box.right - box.left) / top
    for place in range(top):
        left = box.left + place * cell
        inner = Box(left + cell * 0.08, box.top, left + cell * 0.92, box.bottom)
        canvas.rect(inner, fill="ink" if place < level else "paper", edge="ink")
