"""The simulator writes down what its learner would show: its own laws, on long invented runs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, Source
from bylittle.demo.simulator import Course, Learner, Practice, Probe, simulate

TODAY = date(2026, 11, 25)
STILL = Learner(skill=(0.5, -1.0), gain=0.0, day_sd=0.0, gap=0.7, stops=(0.0, 0.0))
ASKED = Practice(first=-200, last=-1, asked={0: 5}, adults=("M",), share=1.0)


def run(learner: Learner, *practice: Practice, probes: tuple[Probe, ...] = ()) -> tuple[Entry, ...]:
    course = Course(learner, ("first", "second"), practice, probes)
    return simulate(course, TODAY, np.random.default_rng(7))


def share_managed(entries: tuple[Entry, ...]) -> float:
    return float(np.mean([entry.outcome is Outcome.MANAGED for entry in entries]))


@pytest.mark.parametrize(("level", "logit"), [(5, 0.5 - 0.7), (4, 0.5 + 1.1), (2, 0.5 + 2.6)])
def test_success_follows_the_equation_of_the_learning_model(level: int, logit: float) -> None:
    """s(skill + boost of the level - gap at alone), within four standard errors."""
    entries = run(STILL, replace(ASKED, asked={0: level}))
    chance = 1 / (1 + np.exp(-logit))
    error = 4 * np.sqrt(chance * (1 - chance) / len(entries))
    assert len(entries) > 500
    assert share_managed(entries) == pytest.approx(chance, abs=error)


def test_the_fullest_help_is_always_enough() -> None:
    assert share_managed(run(STILL, replace(ASKED, asked={1: 0}))) == 1.0


def test_practice_teaches_and_stops_at_the_best() -> None:
    learner = replace(STILL, skill=(-2.0, 0.0), gain=0.1, best=3.0)
    entries = run(learner, ASKED)
    early, late = entries[:60], entries[-60:]
    assert share_managed(early) < 0.5 < 0.8 < share_managed(late)


def test_an_adult_whose_words_confuse_has_less_success() -> None:
    entries = run(replace(STILL, with_adult={"G": -3.0}), replace(ASKED, adults=("M", "G")))
    by_adult = {who: tuple(row for row in entries if row.adult == who) for who in ("M", "G")}
    assert share_managed(by_adult["M"]) > share_managed(by_adult["G"]) + 0.2


def test_a_kind_family_writes_misses_as_managed_but_a_probe_does_not() -> None:
    learner = replace(STILL, skill=(-3.0, -3.0), kindly=0.9)
    entries = run(learner, ASKED, probes=tuple(Probe(day) for day in range(-200, 0)))
    home = tuple(row for row in entries if row.source is Source.HOME)
    probed = tuple(row for row in entries if row.source is Source.PROBE)
    assert share_managed(home) > 0.8
    assert share_managed(probed) < 0.1


def test_stops_rise_towards_the_end_and_two_end_a_sitting() -> None:
    entries = run(replace(STILL, stops=(0.0, 0.8), stops_days=20), replace(ASKED, turns=5))
    stops = {}
    for row in entries:
        if row.outcome is Outcome.STOPPED:
            stops.setdefault((TODAY - row.day).days, []).append(row.turn)
    assert min(stops) <= 3
    assert max(stops) <= 20
    assert max(len(turns) for turns in stops.values()) == 2
    last = {day: max(row.turn for row in entries if (TODAY - row.day).days == day) for day in stops}
    assert all(turns[-1] == last[day] for day, turns in stops.items() if len(turns) == 2)


def test_after_a_stop_the_later_steps_of_the_turn_are_not_reached() -> None:
    entries = run(replace(STILL, stops=(1.0, 1.0)), replace(ASKED, asked={0: 4, 1: 4}, turns=1))
    for _, rows in PracticeLog.of(entries).turns():
        assert rows[-1].outcome is Outcome.STOPPED
        assert [row.step_id for row in rows] in (["first"], ["first", "second"])


def test_on_paper_the_family_writes_the_help_it_took() -> None:
    entries = run(STILL, replace(ASKED, asked={1: 4}, source=Source.PAPER))
    needed = [row.needed for row in entries if row.outcome is Outcome.NEEDED]
    assert needed
    assert all(level is not None and level < 4 for level in needed)
    assert not any(row.outcome is Outcome.NOT_MANAGED for row in entries)


def test_a_lost_step_is_lost_from_its_day_on() -> None:
    learner = replace(STILL, skill=(4.0, 4.0), lost={0: (-20, 9.0)})
    entries = run(learner, ASKED)
    before = tuple(row for row in entries if (row.day - TODAY).days < -20)
    after = tuple(row for row in entries if (row.day - TODAY).days >= -20)
    assert share_managed(before) > 0.85
    assert share_managed(after) < 0.1


def test_the_same_seed_gives_the_same_log() -> None:
    assert run(STILL, ASKED) == run(STILL, ASKED)


def test_an_adults_step_is_never_probed() -> None:
    course = Course(STILL, (None, "second"), (), (Probe(-3),))
    entries = simulate(course, TODAY, np.random.default_rng(1))
    assert [row.step_id for row in entries] == ["second"]
