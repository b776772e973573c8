"""A change of material that the marks tell: the right sign, learned from what follows, never on a guess."""

from __future__ import annotations

import numpy as np
import pytest

from bylittle.core.advice import SkillTracker
from bylittle.core.learning.grades import grade_gap, grade_sizes
from bylittle.core.practice.marks import Mark, Status

TOP = 5
LADDER = ("wide boot", "usual boot", "stiff boot")


def practised(days: int, grade: str, *, level: int = 4, good: float = 0.8, start: int = 0, seed: int = 1):
    rng = np.random.default_rng(seed)
    for day in range(start, start + days):
        for _ in range(4):
            managed = rng.random() < good
            lo, hi = (level, TOP) if managed else (0, level - 1)
            yield day, [Mark(0, level, Status.DONE, lo, hi, grade=grade)]


def tracker(*logs) -> SkillTracker:
    found = SkillTracker(1, grades=LADDER)
    for log in logs:
        for day, marks in log:
            found.record(day, marks)
    return found


@pytest.mark.parametrize(
    ("before", "after", "gap"),
    [("wide boot", "stiff boot", 2.0), ("usual boot", "wide boot", -1.0), ("2", "3", 1.0), ("a", "b", None)],
)
def test_a_gap_is_told_by_the_ladder_or_by_numbers(before: str, after: str, gap: float | None) -> None:
    assert grade_gap(LADDER, before, after) == gap


def test_harder_lowers_easier_raises_and_the_unknown_only_widens() -> None:
    for grade, sign in (("stiff boot", -1), ("wide boot", 1), ("another", 0)):
        known = tracker(practised(10, "usual boot"))
        before = known.chance(0, 4)
        known.use_grade(grade)
        after = known.chance(0, 4)
        assert np.sign(round((after.mean - before.mean) / 0.08)) == sign
        if sign == 0:
            assert after.high - after.low > before.high - before.low


def test_the_marks_themselves_tell_the_change() -> None:
    told, silent = (
        tracker(practised(10, "usual boot"), practised(1, grade, start=10, good=1.0))
        for grade in ("stiff boot", "usual boot")
    )
    assert told.chance(0, 4).mean < silent.chance(0, 4).mean
    assert told.state.grades == ("stiff boot",)


def test_what_a_grade_costs_this_child_is_learned() -> None:
    """Where the stiff boot turns out to be no harder, going on to it costs less the next time."""
    same, worse = (
        tracker(
            practised(10, "usual boot"),
            practised(12, "stiff boot", start=10, good=good, seed=2),
        )
        for good in (0.85, 0.25)
    )
    drops = []
    for each in (same, worse):
        before = each.chance(0, 4).mean
        each.change_grade(1.0)
        drops.append(np.log(before / (1 - before)) - _logit(each.chance(0, 4).mean))
    assert drops[0] < drops[1]


def _logit(p: float) -> float:
    return float(np.log(p / (1 - p)))


def test_a_tracker_on_another_material_reloads_alike() -> None:
    known = tracker(practised(6, "usual boot"), practised(2, "stiff boot", start=6))
    again = SkillTracker.from_text(known.to_text())
    assert again.chance(0, TOP) == known.chance(0, TOP)
    assert again.state.settings.grades == LADDER


def test_sizes_spread_about_their_middle() -> None:
    sizes = grade_sizes(64)
    assert (sizes > 0).all()
    assert np.median(sizes) == pytest.approx(0.8, rel=0.1)
