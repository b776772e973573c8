"""An import is worked out first: all rows or none, and the same file twice adds nothing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.faults import Contradiction
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.files.csv_head import Against, version_of
from bylittle.files.practice_csv import write_log
from bylittle.workflows.import_log import apply, plan_import

START = date(2026, 3, 2)
VERSION = version_of("Pull on a rain boot", ("Open the boot", "Pull up"))
AGAINST = Against(VERSION, DEFAULT_LADDER, latest=date(2026, 4, 1))


def entry(day: int, outcome: Outcome = Outcome.MANAGED, step: str = "2") -> Entry:
    return Entry(START + timedelta(days=day), 1, step, outcome, adult="M", offered=4)


def file_of(*entries: Entry) -> bytes:
    return write_log(entries, VERSION, DEFAULT_LADDER).encode()


days = st.lists(st.integers(0, 9), unique=True, max_size=6)


@settings(max_examples=25, deadline=None)
@given(days, days)
def test_rows_are_new_or_already_there_and_a_second_time_adds_nothing(
    there: list[int], more: list[int]
) -> None:
    log = PracticeLog.of([entry(day) for day in there])
    data = file_of(*(entry(day) for day in more))
    plan = plan_import(data, log, AGAINST)
    assert {row.day for row in plan.new} == {entry(day).day for day in set(more) - set(there)}
    assert len(plan.new) + len(plan.already) == len(more)
    after = apply(plan, log)
    again = plan_import(data, after, AGAINST)
    assert (len(again.new), len(again.already)) == (0, len(more))
    assert apply(again, after) == after


def test_a_row_that_differs_from_the_record_is_told_with_both_and_nothing_is_new() -> None:
    log = PracticeLog.of([entry(0)])
    plan = plan_import(file_of(entry(1), entry(0, Outcome.NOT_MANAGED)), log, AGAINST)
    assert plan.new == ()
    (fault,) = plan.faults
    assert (fault.line, fault.column, fault.code) == (6, "result", "same_row_in_record")
    assert "not managed" in fault.values["new"]


def test_one_faulty_row_keeps_the_whole_file_out() -> None:
    plan = plan_import(file_of(entry(0), entry(90)), PracticeLog(), AGAINST)
    assert plan.new == ()
    assert [(fault.line, fault.code) for fault in plan.faults] == [(6, "date_future")]
    with pytest.raises(Contradiction):
        apply(plan, PracticeLog())


def test_a_record_that_changed_since_the_plan_was_made_is_not_written_over() -> None:
    plan = plan_import(file_of(entry(0)), PracticeLog(), AGAINST)
    with pytest.raises(Contradiction):
        apply(plan, PracticeLog.of([entry(0, Outcome.NOT_MANAGED)]))


def test_a_file_about_another_skill_is_refused() -> None:
    data = write_log([entry(0)], version_of("Wash hands", ("Open the boot", "Pull up")), DEFAULT_LADDER)
    assert [fault.code for fault in plan_import(data.encode(), PracticeLog(), AGAINST).faults] == [
        "skill_differs"
    ]
