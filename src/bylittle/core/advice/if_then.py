"""What a family may do between two looks of the therapist: one rule for each asked step, for a week.

Less help after some goes in a row that worked, more after some that did not. The numbers are common practice,
no source; the steps and the first help are the advice's.
"""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.advice.challenge import Challenge

WORKED = 3
MISSED = 2


@dataclass(frozen=True, slots=True)
class IfThen:
    """With `level` of help on `step`: after `worked` goes in a row that worked take `less`, after `missed` in
    a row that did not take `more`; None where the ladder has nothing beyond."""

    step: int
    level: int
    less: int | None
    more: int | None
    worked: int = WORKED
    missed: int = MISSED


def rules_for(challenge: Challenge, top: int) -> tuple[IfThen, ...]:
    """A rule for each step that is being taught; what goes alone for sure needs none."""
    asked = [(step, level) for step in sorted(challenge.new) if (level := challenge.levels[step]) is not None]
    return tuple(
        IfThen(step, level, level + 1 if level < top else None, level - 1 if level > 0 else None)
        for step, level in asked
    )
