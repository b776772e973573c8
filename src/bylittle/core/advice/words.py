"""The words of advice: decisions, and a reason as a code with its numbers. Sentences stand in the library."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Decision(StrEnum):
    """What to do next, in the order in which they are tried: the first that holds is the advice."""

    REFER = "refer"
    PAUSE = "pause"
    MORE_DATA = "more data"
    DONE = "done"
    MOVE_ON = "move on"
    STEP_BACK = "step back"
    CHECK_FIDELITY = "check fidelity"
    CHANGE_MATERIAL = "change material"
    FADE_HELP = "fade help"
    HOLD = "hold"


class Goal(StrEnum):
    """Chaining direction: which end is taught first, or the whole chain at once. None is known to be best."""

    BACKWARD = "backward"
    FORWARD = "forward"
    WHOLE = "whole"


class Every(StrEnum):
    """How often the advice may change."""

    DAY = "day"
    WEEK = "week"


@dataclass(frozen=True, slots=True)
class Why:
    """A reason: a code, the numbers a sentence about it needs, and what would change the advice."""

    code: str
    values: Mapping[str, object] = field(default_factory=dict)
