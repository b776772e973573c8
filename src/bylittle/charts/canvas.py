"""The sheet a chart is drawn on: it puts marks down and remembers where every text stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

from bylittle.charts import letters
from bylittle.charts.media import FONT, Medium
from bylittle.charts.svg import Element, element, path

Anchor: TypeAlias = Literal["start", "middle", "end"]
ASCENT, DESCENT = 0.78, 0.24  # of the letter height, above and below the line that letters stand on


class Box(NamedTuple):
    """A rectangle: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """True when the two share any area."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(slots=True)
class Canvas:
    """Marks in the order they are drawn, and the boxes of the texts among them."""

    medium: Medium
    marks: list[Element] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, ink: str = "rule", weight: float = 1, dash: str = ""
    ) -> None:
        """A straight line; `weight` in line widths of the medium."""
        self.marks.append(
            element(
                "line", x1=x1, y1=y1, x2=x2, y2=y2, class_=f"line-{ink}", stroke=self.medium.colours[ink],
                stroke_width=self.medium.line * weight, stroke_dasharray=dash or None,
            )
        )  # fmt: skip

    def polyline(self, points: list[tuple[float, float]], ink: str = "ink", dash: str = "") -> None:
        """An open line through points."""
        self.marks.append(
            element(
                "path", d=path(points), class_=f"line-{ink}", fill="none", stroke=self.medium.colours[ink],
                stroke_width=self.medium.line, stroke_dasharray=dash or None, stroke_linejoin="round",
            )
        )  # fmt: skip

    def area(self, points: list[tuple[float, float]], ink: str = "tint") -> None:
        """A filled shape without an edge."""
        colour = self.medium.colours[ink]
        self.marks.append(element("path", d=path(points, closed=True), class_=f"fill-{ink}", fill=colour))

    def rect(self, box: Box, *, fill: str | None = None, edge: str | None = None) -> None:
        """A rectangle, filled or with an edge or both."""
        self.marks.append(self._rect(box, fill, edge))

    def _rect(self, box: Box, fill: str | None, edge: str | None) -> Element:
        colours = self.medium.colours
        return element(
            "rect", x=box.left, y=box.top, width=box.right - box.left, height=box.bottom - box.top,
            class_=" ".join(filter(None, (fill and f"fill-{fill}", edge and f"line-{edge}"))) or None,
            fill=colours[fill] if fill else "none", stroke=colours[edge] if edge else None,
            stroke_width=self.medium.line * 0.75 if edge else None,
        )  # fmt: skip

    def text(
        self, x: float, y: float, words: str, *, size: float | None = None, anchor: Anchor = "start",
        ink: str = "ink", bold: bool = False,
    ) -> None:  # fmt: skip
        """Words standing on the line `y`."""
        if not words:
            return
        size = size or self.medium.small
        self.boxes.append(text_box(x, y, words, size, anchor, bold))
        self.marks.append(
            element(
                "text", words, x=x, y=y, class_=f"fill-{ink}", fill=self.medium.colours[ink],
                font_family=FONT, font_size=size, font_weight=700 if bold else None,
                text_anchor=anchor if anchor != "start" else None, aria_hidden="true",
            )
        )  # fmt: skip

    def fits(self, box: Box) -> bool:
        """True when a text in this box would meet no other text."""
        return not any(box.meets(other) for other in self.boxes)


def text_box(x: float, y: float, words: str, size: float, anchor: Anchor, bold: bool = False) -> Box:
    """Where a text will stand."""
    wide = letters.width(words, size, bold=bold)
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Box(left, y - ASCENT * size, left + wide, y + DESCENT * size)
