"""The shape of a log sheet: paper, days, turns or steps, levels, adults. Its bounds stand here once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bylittle.core.faults import BadValue, Fault, raise_all


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright; width and height in millimetres."""

    name: str
    width_mm: float
    height_mm: float


A4 = Paper("a4", 210.0, 297.0)  # ISO 216
LETTER = Paper("letter", 215.9, 279.4)  # ANSI/ASME Y14.1, size A
PAPERS = {paper.name: paper for paper in (A4, LETTER)}

DAYS = range(1, 8)
TURNS = range(1, 6)
STEPS = range(1, 13)
LEVELS = range(2, 9)
ADULTS = range(5)

WAYS = 5  # boxes of the "what got in the way?" row; the words stand in the library


@dataclass(frozen=True, slots=True)
class Shape:
    """What a sheet's geometry needs, and nothing of what is written on it.

    One asked step: `turns` rows a day. Several: one turn a day, a row for each of `steps`.
    """

    paper: Paper
    days: int
    turns: int
    steps: int
    levels: int
    adults: int = 0

    def __post_init__(self) -> None:
        raise_all(_faults(self))

    @property
    def one_step(self) -> bool:
        """True where rows of a day are turns of the one asked step; else they are the asked steps."""
        return self.steps == 1

    @property
    def rows_a_day(self) -> int:
        return self.turns if self.one_step else self.steps


def _faults(shape: Shape) -> Iterator[Fault]:
    bounds = {"days": DAYS, "turns": TURNS, "steps": STEPS, "levels": LEVELS, "adults": ADULTS}
    for name, bound in bounds.items():
        value = getattr(shape, name)
        if value not in bound:
            yield BadValue(name=name, value=value, allowed=(bound.start, bound.stop - 1))
    if shape.steps > 1 and shape.turns != 1:
        yield BadValue(name="turns", value=shape.turns, allowed=(1, 1))
