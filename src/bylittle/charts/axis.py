"""The time axis: real dates, or sessions one after another. Several panels can share one."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from bylittle.charts import letters
from bylittle.charts.scale import Scale, count_ticks, day_ticks
from bylittle.library.wording import short_day

XAxis: TypeAlias = Literal["dates", "sessions"]


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """Places of days between `left` and `right`. `days`: all dates shown, sorted, at least one."""

    kind: XAxis
    days: tuple[date, ...]
    left: float
    right: float

    @property
    def _scale(self) -> Scale:
        if self.kind == "sessions":
            return Scale(-0.5, len(self.days) - 0.5, self.left, self.right)
        first, last = self.days[0].toordinal(), self.days[-1].toordinal()
        spare = max(0.5, (last - first) * 0.015)
        return Scale(first - spare, last + spare, self.left, self.right)

    def __call__(self, day: date) -> float:
        """The place of a day."""
        at = bisect_left(self.days, day) if self.kind == "sessions" else day.toordinal()
        return self._scale(at)

    def before(self, day: date) -> float:
        """The place just before a day, where a phase line stands."""
        at = bisect_left(self.days, day) if self.kind == "sessions" else day.toordinal()
        return min(self.right, max(self.left, self._scale(at - 0.5)))

    def after(self, day: date) -> float:
        """The place just after a day."""
        at = bisect_left(self.days, day) if self.kind == "sessions" else day.toordinal()
        return min(self.right, max(self.left, self._scale(at + 0.5)))

    def ticks(self, size: float, language: str) -> list[tuple[float, str]]:
        """Places and words of the ticks, so far apart that no two labels meet."""
        widest = letters.width("30 Sept", size) * 1.25
        most = max(1, int((self.right - self.left) / widest))
        if self.kind == "sessions":
            return self._session_ticks(most)
        days = day_ticks(self.days[0], self.days[-1], most)
        return [(self(day), short_day(day, language)) for day in days]

    def _session_ticks(self, most: int) -> list[tuple[float, str]]:
        numbers = [number for number in count_ticks(len(self.days), max(1, most - 1)) if number]
        return [(self._scale(number - 1), str(number)) for number in numbers]


def time_axis(kind: XAxis, days: Sequence[date], left: float, right: float) -> TimeAxis:
    """The axis for these dates; sorted, each once."""
    return TimeAxis(kind, tuple(sorted(set(days))), left, right)
