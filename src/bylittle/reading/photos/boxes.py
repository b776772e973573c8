"""Boxes on a picture, as shares of its width and height, and what turning and cutting do to them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SAME = 0.3  # overlap from which two boxes are the same face


@dataclass(frozen=True, slots=True)
class Box:
    """A box by its left upper corner and size: shares (0 to 1) of the picture's width and height."""

    left: float
    top: float
    width: float
    height: float

    def turned(self) -> Box:
        """The same place once the picture is turned a quarter to the right."""
        return Box(1 - self.top - self.height, self.left, self.height, self.width)

    def clipped(self) -> Box:
        """What of the box lies inside the picture."""
        left, top = max(self.left, 0.0), max(self.top, 0.0)
        right, bottom = min(self.left + self.width, 1.0), min(self.top + self.height, 1.0)
        return Box(left, top, max(right - left, 0.0), max(bottom - top, 0.0))

    def holds(self, other: Box) -> bool:
        """Whether the middle of the other, smaller box lies in this one."""
        across = other.left + other.width / 2 - self.left
        down = other.top + other.height / 2 - self.top
        smaller = other.width * other.height <= self.width * self.height
        return smaller and 0 <= across <= self.width and 0 <= down <= self.height

    def wider(self, factor: float) -> Box:
        """The box stretched around its middle, kept inside the picture."""
        width, height = self.width * factor, self.height * factor
        middle_x, middle_y = self.left + self.width / 2, self.top + self.height / 2
        return Box(middle_x - width / 2, middle_y - height / 2, width, height).clipped()


def overlap(one: Box, other: Box) -> float:
    """Shared area over joint area, 0 to 1."""
    wide = min(one.left + one.width, other.left + other.width) - max(one.left, other.left)
    high = min(one.top + one.height, other.top + other.height) - max(one.top, other.top)
    shared = max(wide, 0.0) * max(high, 0.0)
    joint = one.width * one.height + other.width * other.height - shared
    return shared / joint if joint > 0 else 0.0


def with_new(known: Iterable[Box], found: Iterable[Box]) -> list[Box]:
    """The known boxes, and those found beside them that lie somewhere else: not over or within one."""
    kept = list(known)
    return kept + [
        box for box in found if not any(overlap(box, old) >= SAME or old.holds(box) for old in kept)
    ]


def strongest(
    boxes: NDArray[np.float32], strength: NDArray[np.float32], same: float = SAME
) -> NDArray[np.intp]:
    """Which rows of `boxes` (left, top, right, bottom) stay when weaker ones over a stronger one go."""
    order = np.argsort(-strength, kind="stable")
    kept: list[int] = []
    for row in order:
        if all(_joint_share(boxes[row], boxes[other]) < same for other in kept):
            kept.append(int(row))
    return np.asarray(kept, dtype=np.intp)


def _joint_share(one: NDArray[np.float32], other: NDArray[np.float32]) -> float:
    def as_box(row: NDArray[np.float32]) -> Box:
        return Box(float(row[0]), float(row[1]), float(row[2] - row[0]), float(row[3] - row[1]))

    return overlap(as_box(one), as_box(other))
