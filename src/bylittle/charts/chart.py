"""What every drawing gives: the picture, its name and description, and the table beside it."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.svg import NAMESPACE, Element, element


@dataclass(frozen=True, slots=True)
class Table:
    """The numbers of a chart, in rows of text; the first cell of a row names it."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """A finished drawing for one medium. `boxes`: where its texts stand, for checks."""

    title: str
    description: str
    width: float
    height: float
    marks: tuple[Element, ...]
    boxes: tuple[Box, ...]
    table: Table

    def svg(self, name: str = "chart") -> str:
        """The markup; `name` starts its ids, so give each chart of a page its own."""
        ids = f"{name}-title {name}-about"
        return element(
            "svg",
            element("title", self.title, id=f"{name}-title"),
            element("desc", self.description, id=f"{name}-about"),
            *self.marks,
            xmlns=NAMESPACE,
            class_="chart",
            view_box=f"0 0 {self.width:g} {self.height:g}",
            width=self.width,
            height=self.height,
            role="group",
            aria_labelledby=ids,
        ).render()


def finish(canvas: Canvas, height: float, title: str, description: str, table: Table) -> Chart:
    """The chart on this canvas."""
    width = canvas.medium.width
    return Chart(title, description, width, height, tuple(canvas.marks), tuple(canvas.boxes), table)
