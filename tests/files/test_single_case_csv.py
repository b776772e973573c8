"""Single-case data: every standing mark once, missing never zero, phases by the plan that was followed."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import timedelta

import pytest

from bylittle.core.evidence.series import series_of
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome
from bylittle.files.single_case_csv import COLUMNS, value_of, write_single_case
from tests.child_records import TODAY, example, full

TOP = 5


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_usual_columns_come_and_every_mark_stands_once() -> None:
    record = full()
    told = rows(write_single_case(record))
    assert set(COLUMNS) >= {
        "case",
        "phase",
        "time",
        "value",
        "step",
        "prompt",
        "observer",
        "source",
        "version",
    }
    marks = [row for row in told if row["measure"] == "mark"]
    assert len(marks) == len(record.skills[0].log.entries())
    assert {row["case"] for row in told} == {record.id}


def test_probe_rows_are_the_points_of_the_graph() -> None:
    skill = example("Wren").skills[0]
    told = [row for row in rows(write_single_case(example("Wren"))) if row["measure"] == "steps alone"]
    points = series_of(skill.log, skill.newest.steps, skill.ladder.top).probes
    assert [(r["time"], int(r["value"]), int(r["of"])) for r in told] == [
        (p.day.isoformat(), p.alone, p.steps) for p in points
    ]


def test_phases_begin_with_each_signed_plan() -> None:
    skill = example("Wren").skills[0]
    told = rows(write_single_case(example("Wren")))
    start = {f"plan {kept.plan.number}": kept.plan.start.isoformat() for kept in skill.plans}  # type: ignore[union-attr]
    assert {row["phase"] for row in told} == {"baseline", *start}
    assert all(row["time"] >= start[row["phase"]] for row in told if row["phase"] != "baseline")
    assert all(row["time"] < start["plan 1"] for row in told if row["phase"] == "baseline")


def mark(outcome: Outcome, **more: object) -> Entry:
    return replace(Entry(TODAY, 1, "pull", outcome), **more)  # type: ignore[arg-type]


LEAST = OrderOfHelp.LEAST_TO_MOST


@pytest.mark.parametrize(
    ("entry", "value"),
    [
        (mark(Outcome.MANAGED, offered=2), 1),
        (mark(Outcome.NOT_MANAGED, offered=2), 0),
        (mark(Outcome.NEEDED, offered=3, needed=1), 0),
        (mark(Outcome.NEEDED, offered=3, needed=4), 1),
        (mark(Outcome.NEEDED, needed=4), 1),
        (mark(Outcome.MANAGED, offered=2, order=LEAST), 1),
        (mark(Outcome.STOPPED, offered=2), ""),
        (mark(Outcome.MISSING), ""),
        (mark(Outcome.BY_ADULT), ""),
    ],
)
def test_value_says_whether_the_named_help_was_enough(entry: Entry, value: object) -> None:
    assert value_of(entry, TOP) == value


def test_a_name_that_a_spreadsheet_would_run_is_guarded() -> None:
    record = example("Wren")
    skill = record.skills[0]
    first = replace(skill.practice[0], record=replace(skill.practice[0].record, adult="=1+1"))
    record = replace(record, skills=(replace(skill, practice=(first,)),))
    assert rows(write_single_case(record))[0]["observer"] == "'=1+1"


def test_a_day_before_any_plan_is_baseline() -> None:
    skill = example("Wren").skills[0]
    assert skill.plan_on(skill.plans[0].plan.start - timedelta(days=1)) is None  # type: ignore[operator]
