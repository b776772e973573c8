"""When is a step mastered? Two strengths, and the days that must carry them."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.faults import BadValue
from bylittle.core.learning.forecast import Outlook, share_above
from bylittle.core.learning.tracker import State


@dataclass(frozen=True, slots=True)
class Criterion:
    """P(chance alone >= `chance`) >= `sure`, with the step done alone on at least `days` days."""

    chance: float = 0.85
    sure: float = 0.90
    days: int = 3

    def __post_init__(self) -> None:
        for name in ("chance", "sure"):
            if not 0.0 < getattr(self, name) < 1.0:
                raise BadValue("out_of_range", name=name, value=getattr(self, name), allowed=(0, 1))
        if self.days < 1:
            raise BadValue("out_of_range", name="days", value=self.days, allowed=(1, None))


STATISTICAL = Criterion()
PROBABLY = Criterion(sure=0.80, days=2)


@dataclass(frozen=True, slots=True)
class Standing:
    """How a step stands against a criterion: the share of belief above the bar, and the days alone."""

    step: int
    share: float
    days: int
    met: bool


def standing(state: State, view: Outlook, step: int, criterion: Criterion = STATISTICAL) -> Standing:
    """One step against a criterion; the same call serves both strengths."""
    share = share_above(view, step, state.settings.top, criterion.chance)
    days = len(state.alone_days[step])
    return Standing(step, share, days, share >= criterion.sure and days >= criterion.days)
