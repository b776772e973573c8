"""When the whole skill may be done, and reported against observed: figures, and silence with its reason."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from bylittle.core.advice import Decision, SkillTracker
from bylittle.library.wording import ahead as words
from bylittle.workflows.foresight import Gap, WholeSkill, reported_gap, whole_skill

START = date(2026, 3, 2)
TOP = 5


def tracked(days: int, chance: float, level: int = 4, looks: int = 0, seen: float = 0.2) -> SkillTracker:
    """Two steps, three turns a day with one level of help; then `looks` probes a day over the last days."""
    tracker, rng = SkillTracker(2), np.random.default_rng(7)
    for day in range(days):
        for _ in range(3):
            tracker.record(START.toordinal() + day, [_mark(k, level, rng.random() < chance) for k in (0, 1)])
        for _ in range(looks):
            told = [{**_mark(k, TOP, rng.random() < seen), "source": "probe"} for k in (0, 1)]
            tracker.record(START.toordinal() + day, told)
    return tracker


def _mark(step: int, level: int, good: bool) -> dict[str, object]:
    lo, hi = (level, TOP) if good else (0, level - 1)
    return {"step": step, "offered": level, "status": "done", "lo": lo, "hi": hi, "ladder": False}


def on(tracker: SkillTracker, days: int, decision: Decision = Decision.HOLD) -> WholeSkill:
    return whole_skill(tracker, START + timedelta(days=days), decision)


@pytest.fixture(scope="module")
def steady() -> SkillTracker:
    return tracked(14, 0.85)


def test_a_range_in_order_with_the_pace_it_assumes(steady: SkillTracker) -> None:
    found = on(steady, 14)
    assert not found.silent
    assert found.early is not None
    assert found.middle is not None
    assert START + timedelta(days=14) <= found.early <= found.middle
    assert found.late is None or found.middle <= found.late
    assert (found.days_a_week, found.at_once, found.bar) == (7.0, 3, 0.85)
    told = words.whole_skill(found)
    assert "even odds by" in told[0]
    assert "7.0 days a week" in told[1]
    assert "no promise" in told[1]


@pytest.mark.parametrize("decision", [Decision.REFER, Decision.PAUSE, Decision.MORE_DATA])
def test_nothing_is_foretold_where_practice_does_not_go_on(steady: SkillTracker, decision: Decision) -> None:
    found = on(steady, 14, decision)
    assert (found.silent, found.early, found.middle, found.late) == ("look_first", None, None, None)
    assert "is not told" in words.whole_skill(found)[0]


def test_silent_on_few_days_and_it_says_how_many_are_needed() -> None:
    found = on(tracked(7, 0.5), 7)
    assert found.silent == "horizon"
    assert "7 practice days, 8 are needed" in words.whole_skill(found)[0]


def test_silent_where_the_end_is_out_of_sight() -> None:
    found = on(tracked(30, 0.02, level=3), 30)
    assert found.silent == "horizon_beyond"
    assert "cannot be said when" in words.whole_skill(found)[0]


def test_a_range_without_an_end_says_so(steady: SkillTracker) -> None:
    found = on(steady, 14)
    endless = WholeSkill(found.early, found.middle, None, found.days_a_week, 1, 0.85, 0.1)
    assert "how late it may be cannot be said" in words.whole_skill(endless)[0]
    sure = WholeSkill(START, START, START, 7.0, 1, 0.85, 0.95)
    assert words.whole_skill(sure) == (
        "All steps alone, each in 85\u00a0% of turns or more: likely so already with the material used now "
        "(95\u00a0%). A probe alone would settle it.",
    )


def test_the_gap_comes_with_its_interval_and_its_counts() -> None:
    found = reported_gap(tracked(10, 0.95, level=TOP, looks=1))
    assert found.gap is not None
    assert found.low is not None
    assert found.high is not None
    assert 0 < found.low < found.gap < found.high
    assert (found.reported_n, found.observed_n) == (60, 20)
    (told,) = words.gap(found)
    assert "run ahead by" in told
    assert "90 % interval" in told


def test_too_few_looks_are_told_with_what_is_needed() -> None:
    found = reported_gap(tracked(4, 0.9, level=TOP))
    assert (found.silent, found.gap) == ("report_gap", None)
    assert "0 marks" in words.gap(found)[0]
    assert "are needed" in words.gap(found)[0]


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(0.1, 0.5, "ahead by 30"), (-0.5, -0.1, "behind by 30"), (-0.1, 0.4, "no clear")],
)
def test_the_side_of_the_gap_is_told_only_where_it_is_clear(low: float, high: float, said: str) -> None:
    gap = 0.3 if high > 0 else -0.3
    (told,) = words.gap(Gap(gap, low, high, 0.8, 20, 0.5, 10))
    assert said in told.replace("\u00a0", " ")
    assert "-" not in told.replace("90 %", "") or said == "no clear"


@pytest.mark.parametrize(("late", "told"), [(date(2026, 4, 20), "likely by"), (None, "cannot be said")])
def test_even_odds_on_the_day_of_asking_are_told_as_perhaps_already(late: date | None, told: str) -> None:
    asked = date(2026, 3, 20)
    said = words.whole_skill(WholeSkill(asked, asked, late, 5.0, 3, 0.85, 0.4))[0]
    assert "perhaps so already" in said
    assert told in said
    assert "even odds" not in said
