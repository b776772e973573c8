"""Which steps a challenge takes up: leaping ahead passes over what likely goes alone, and says so."""

from __future__ import annotations

import numpy as np
import pytest

from bylittle.core.advice import SkillTracker
from bylittle.core.advice.challenge import Challenge, choose
from bylittle.core.advice.plan import teaching
from bylittle.core.faults import BadValue

MASTERED_LAST = (False, False, False, False, True)
TOP = 5


def challenge(
    alone: list[float], mastered: tuple[bool, ...] = MASTERED_LAST, goal: str = "backward", **set_: object
) -> Challenge:
    """The challenge of a chain from the chances alone; more help never lowers the chance."""
    chances = np.array([np.linspace(0.99, each, TOP + 1) for each in alone])
    return choose(chances, mastered, teaching(goal, **set_))


def test_without_leaping_the_chain_moves_one_step_at_a_time() -> None:
    found = challenge([0.1, 0.3, 0.9, 0.9, 0.99])
    assert (found.new, found.leapt) == ((3,), ())
    assert [level is not None for level in found.levels] == [False, False, False, True, True]


def test_backward_with_leap_aheads_goes_to_the_first_step_that_needs_teaching() -> None:
    found = challenge([0.1, 0.3, 0.9, 0.9, 0.99], leap_ahead=True)
    assert (found.new, found.leapt) == ((1,), (3, 2))
    assert found.levels[2:] == (TOP, TOP, TOP)
    assert found.levels[0] is None
    assert found.predicted[2] == pytest.approx(0.9)


def test_forward_leaps_the_other_way() -> None:
    found = challenge([0.99, 0.9, 0.3, 0.9, 0.1], (True, *[False] * 4), "forward", leap_ahead=True)
    assert (found.new, found.leapt) == ((2,), (1,))
    assert found.levels[3:] == (None, None)


def test_nothing_is_passed_over_while_the_step_in_hand_needs_teaching() -> None:
    found = challenge([0.1, 0.9, 0.9, 0.9, 0.3], (False,) * 5, leap_ahead=True)
    assert (found.new, found.leapt) == ((4,), ())


def test_with_nothing_left_to_teach_the_steps_are_taken_one_by_one_until_they_are_called() -> None:
    found = challenge([0.9, 0.9, 0.9, 0.9, 0.99], leap_ahead=True)
    assert (found.new, found.leapt) == ((3,), ())


def test_leaping_ahead_of_a_whole_task_is_refused() -> None:
    with pytest.raises(BadValue) as told:
        teaching("whole", leap_ahead=True)
    assert told.value.code == "leap_ahead_of_whole"


def mark(step: int, lo: int, hi: int, source: str = "home") -> dict[str, object]:
    return {
        "step": step,
        "offered": TOP,
        "status": "done",
        "lo": lo,
        "hi": hi,
        "ladder": False,
        "source": source,
    }


def tracked(*, leap_ahead: bool) -> SkillTracker:
    """Probes on one day showed steps 1 and 2 alone; step 3 goes alone day by day; step 0 does not go."""
    tracker = SkillTracker(4, goal="backward", leap_ahead=leap_ahead)
    for day in range(1, 12):
        for _ in range(3):
            tracker.record(day, [mark(3, TOP, TOP)])
    for _ in range(6):
        tracker.record(12, [mark(0, 0, 1, "probe"), *(mark(step, TOP, TOP, "probe") for step in (1, 2, 3))])
    return tracker


def test_the_advice_asks_for_a_probe_of_the_steps_it_leaps_over() -> None:
    plain, leaping = tracked(leap_ahead=False).advise(), tracked(leap_ahead=True).advise()
    assert plain.levels[0] is None
    assert "leapt_ahead" not in [why.code for why in plain.why]
    assert leaping.levels[1:3] == (TOP, TOP)
    assert leaping.levels[0] is not None
    [why] = [each for each in leaping.why if each.code == "leapt_ahead"]
    assert why.values["steps"] == (1, 2)
    assert float(str(why.values["chance"])) >= 0.70


def test_a_leaping_tracker_is_saved_and_an_older_one_still_read() -> None:
    tracker = tracked(leap_ahead=True)
    assert SkillTracker.from_text(tracker.to_text()).advise() == tracker.advise()
    older = tracker.to_text().replace(', "leap_ahead": true', "")
    assert "leap" not in older
    assert "leapt_ahead" not in [why.code for why in SkillTracker.from_text(older).advise().why]
