"""The log only grows; replay of the whole equals step by step; corrections leave the old entry visible."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.faults import BadValue, Contradiction
from bylittle.core.practice.log import Change, ChangeKind, Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, Source, Status

DAY = date(2026, 3, 2)


def entry(**changes: object) -> Entry:
    plain = Entry(day=DAY, turn=1, step_id="pull", outcome=Outcome.MANAGED, offered=1, adult="M")
    return replace(plain, **changes)


entries = st.builds(
    Entry,
    day=st.integers(0, 6).map(lambda days: DAY + timedelta(days=days)),
    turn=st.integers(1, 3),
    step_id=st.sampled_from(["open", "point", "pull"]),
    outcome=st.sampled_from([Outcome.MANAGED, Outcome.NOT_MANAGED, Outcome.STOPPED]),
    source=st.sampled_from([Source.HOME, Source.VISIT]),
    adult=st.sampled_from(["M", "D"]),
    offered=st.integers(1, 5),
)


@given(st.lists(entries, max_size=12, unique_by=lambda entry: entry.identity))
def test_whole_replay_equals_entry_by_entry(rows: list[Entry]) -> None:
    log = PracticeLog()
    for row in rows:
        log = log.added(row)
    assert log.entries() == PracticeLog.of(rows).entries()
    assert log.records == PracticeLog.of(rows).records


@given(st.lists(entries, max_size=8, unique_by=lambda entry: entry.identity))
def test_the_same_rows_again_add_nothing(rows: list[Entry]) -> None:
    log = PracticeLog.of(rows)
    assert PracticeLog.of([*rows, *rows]) == log


@given(st.lists(entries, max_size=8, unique_by=lambda entry: entry.identity), st.randoms())
def test_the_order_of_writing_down_does_not_change_what_stands(rows: list[Entry], chance) -> None:
    shuffled = list(rows)
    chance.shuffle(shuffled)
    assert sorted(PracticeLog.of(rows).entries(), key=lambda row: row.identity) == sorted(
        PracticeLog.of(shuffled).entries(), key=lambda row: row.identity
    )


def test_same_row_with_other_content_shows_both() -> None:
    with pytest.raises(Contradiction) as caught:
        PracticeLog.of([entry(), entry(outcome=Outcome.NOT_MANAGED)])
    assert caught.value.values["there"].outcome is Outcome.MANAGED
    assert caught.value.values["new"].outcome is Outcome.NOT_MANAGED


def test_a_correction_is_appended_and_the_old_entry_stays_visible() -> None:
    first, right = entry(), entry(outcome=Outcome.STOPPED)
    change = Change(first.identity, ChangeKind.CORRECTED, by="ines", reason="read wrongly", entry=right)
    log = PracticeLog.of([first]).corrected(change)
    assert log.entries() == (right,)
    assert log.history(first.identity) == (first, change)


def test_an_entry_moved_away_no_longer_counts_but_leaves_its_trace() -> None:
    first = entry()
    change = Change(first.identity, ChangeKind.MOVED_AWAY, by="ines", reason="another child's sheet")
    log = PracticeLog.of([first, change])
    assert log.entries() == ()
    assert len(log.records) == 2


def test_a_correction_of_nothing_is_refused() -> None:
    change = Change(entry().identity, ChangeKind.CORRECTED, by="ines", reason="", entry=entry())
    with pytest.raises(BadValue):
        PracticeLog().corrected(change)


def test_turn_zero_is_refused() -> None:
    with pytest.raises(BadValue):
        PracticeLog().added(entry(turn=0))


def test_a_stop_becomes_a_mark_without_evidence() -> None:
    mark = entry(outcome=Outcome.STOPPED).mark(step=2, top=5)
    assert (mark.status, mark.lo, mark.step) == (Status.REFUSED, -1, 2)


def test_turns_group_the_rows_of_one_turn() -> None:
    rows = [entry(), entry(step_id="point"), entry(turn=2)]
    assert [len(group) for _, group in PracticeLog.of(rows).turns()] == [2, 1]
