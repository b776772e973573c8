"""Coaching before the plan is blamed: a flat step under an adult who helps otherwise than planned."""

from __future__ import annotations

import pytest

from bylittle.core.advice import Decision, Facts, LowFidelity, SkillTracker
from bylittle.core.practice.marks import Mark, Status

TOP = 5


def flat() -> SkillTracker:
    """Forty days at three of four with words: no gain at all."""
    tracker = SkillTracker(1, band=(0.6, 0.9))
    for day in range(40):
        for turn in range(6):
            lo, hi = (4, TOP) if (day + turn) % 4 else (3, 3)
            tracker.record(day, [Mark(0, 4, Status.DONE, lo, hi, adult="D")])
    return tracker


@pytest.mark.parametrize(
    ("low", "checked"),
    [
        (LowFidelity("D", 0.55, 60, 80), True),
        (LowFidelity("D", 0.55, 4, 80), False),
        (None, False),
    ],
)
def test_low_fidelity_is_looked_at_where_it_touches_enough_turns(
    low: LowFidelity | None, checked: bool
) -> None:
    tracker = flat()
    advice = tracker.advise(40, Facts(low_fidelity=low))
    assert (advice.decision is Decision.CHECK_FIDELITY) is checked
    if checked:
        assert advice.why[0].code == "flat_while_help_is_off_plan"
        assert advice.why[0].values["adult"] == "D"
