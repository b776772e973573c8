"""From values to places: straight scales whose ends are said, and ticks that people can read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

DAY_STEPS = (1, 2, 7, 14, 28, 56, 91, 182, 364, 728, 3640, 36400, 3640000)


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: value `low` stands at place `start`, `high` at `end`."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """The place of a value; a scale of one single value puts it in the middle."""
        if self.high == self.low:
            return (self.start + self.end) / 2
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def count_ticks(top: int, most: int = 6) -> list[int]:
    """Whole-number ticks from 0 to `top`, at most about `most`, always with both ends."""
    step = next(s for s in (1, 2, 3, 4, 5, 10, 20, 50, 100, 1000) if top / s <= most)
    ticks = list(range(0, top + 1, step))
    if ticks[-1] != top:
        ticks = [tick for tick in ticks if top - tick >= step * 0.75]
        ticks.append(top)
    return ticks


def day_ticks(first: date, last: date, most: int) -> list[date]:
    """Evenly spaced days from the first, at most `most`: every 1, 2, 7, 14, 28 ... days."""
    span = (last - first).days
    step = next(days for days in DAY_STEPS if span / days <= max(1, most - 1))
    return [first + timedelta(days=days) for days in range(0, span + 1, step)]
