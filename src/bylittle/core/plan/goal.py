"""The goal and its five attainment levels, written before teaching starts (Kiresuk & Sherman 1968)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bylittle.core.faults import BadValue, Fault, raise_all

ATTAINMENT_LEVELS = (-2, -1, 0, 1, 2)


@dataclass(frozen=True, slots=True)
class Goal:
    """Who does what, where, with which help, how well, by when. `levels`: -2 to +2; 0 is expected."""

    statement: str
    levels: tuple[str, str, str, str, str] = ("", "", "", "", "")
    baseline_level: int | None = None
    by: date | None = None
    weight: float = 1.0

    @property
    def scaled(self) -> bool:
        """True when all five levels are written."""
        return all(text.strip() for text in self.levels)

    def check(self) -> None:
        """Raise all faults together: an empty goal, two levels alike, some levels written and not others."""
        raise_all(faults_of(self))


def faults_of(goal: Goal) -> list[Fault]:
    """Everything wrong with a goal. No levels at all is permitted: the scale is the therapist's choice."""
    found: list[Fault] = []
    if not goal.statement.strip():
        found.append(BadValue("goal_empty", name="statement", value="", allowed="text"))
    written = [text.strip().casefold() for text in goal.levels if text.strip()]
    if written and len(written) < len(ATTAINMENT_LEVELS):
        allowed = len(ATTAINMENT_LEVELS)
        found.append(BadValue("goal_levels_missing", name="levels", value=len(written), allowed=allowed))
    if len(set(written)) != len(written):
        found.append(BadValue("goal_levels_alike", name="levels", value=goal.levels, allowed="all different"))
    if goal.baseline_level is not None and goal.baseline_level not in ATTAINMENT_LEVELS:
        value = goal.baseline_level
        found.append(BadValue("out_of_range", name="baseline_level", value=value, allowed=(-2, 2)))
    return found
