"""What the log becomes on a graph: alone is never helped, blank is never zero, a stop is no miss."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.evidence.phases import PhaseKind, phases_of, phases_of_step
from bylittle.core.evidence.series import Series, series_of
from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan, PlannedStep
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.steps import SkillVersion, Step

DAY = date(2026, 3, 2)
TOP = 5
SKILL = SkillVersion(
    1, "Put on a sun hat", (Step("a", "Take", ""), Step("b", "Lift", ""), Step("c", "Pull", ""))
)


def row(step: str, outcome: Outcome, *, day: int = 0, turn: int = 1, **more: object) -> Entry:
    plain = {"offered": 2, "adult": "M", "source": Source.HOME}
    return Entry(DAY + timedelta(days=day), turn, step, outcome, **{**plain, **more})  # type: ignore[arg-type]


def probe(
    step: str, outcome: Outcome, *, day: int = 0, source: Source = Source.PROBE, **more: object
) -> Entry:
    return row(step, outcome, day=day, source=source, offered=TOP, adult="Ines", **more)


def series(*rows: Entry, step_id: str | None = None) -> Series:
    return series_of(PracticeLog.of(rows), SKILL, TOP, step_id)


def plan(number: int, day: int, asked: dict[str, int], **more: object) -> HomePlan:
    steps = tuple(
        PlannedStep(s.id, s.name, asked=s.id in asked, help_level=asked.get(s.id)) for s in SKILL.steps
    )
    return HomePlan("P", number, SKILL.name, steps, start=DAY + timedelta(days=day), **more)  # type: ignore[arg-type]


def test_managed_with_help_is_helped_and_not_alone() -> None:
    (day,) = series(row("a", Outcome.MANAGED), row("b", Outcome.NOT_MANAGED)).practice
    assert (day.helped, day.helped_of, day.alone, day.unclear) == (1, 2, 0, 1)
    assert day.share_helped == 0.5
    assert day.share_alone is None, "one of the two may have been alone: nobody knows"


def test_alone_is_told_where_every_mark_tells_it() -> None:
    (day,) = series(row("a", Outcome.MANAGED, offered=5), row("b", Outcome.NOT_MANAGED, offered=5)).practice
    assert day.share_alone == 0.5


def test_less_help_than_offered_counts_as_managed_and_more_does_not() -> None:
    rows = [row("a", Outcome.NEEDED, needed=4), row("b", Outcome.NEEDED, needed=1)]
    assert series(*rows).practice[0].helped == 1


def test_from_least_to_most_only_alone_counts() -> None:
    ladder = {"offered": None, "order": OrderOfHelp.LEAST_TO_MOST}
    rows = [row("a", Outcome.NEEDED, needed=5, **ladder), row("b", Outcome.NEEDED, needed=4, **ladder)]
    (day,) = series(*rows).practice
    assert (day.helped, day.helped_of, day.lowest_help) == (1, 2, None)


def test_needed_without_an_offer_tells_nothing_of_the_offer() -> None:
    (day,) = series(row("a", Outcome.NEEDED, needed=5, offered=None)).practice
    assert (day.helped_of, day.alone, day.share_helped) == (0, 1, None)


def test_stops_and_blanks_are_counted_apart_and_never_as_zero() -> None:
    (day,) = series(row("a", Outcome.STOPPED), row("b", Outcome.MISSING), row("c", Outcome.MANAGED)).practice
    assert (day.stopped, day.missing, day.marks, day.share_helped) == (1, 1, 1, 1.0)


def test_done_by_adult_says_nothing() -> None:
    (day,) = series(row("a", Outcome.BY_ADULT), row("b", Outcome.MANAGED)).practice
    assert day.marks == 1


def test_reported_and_observed_stand_apart_on_one_day() -> None:
    days = series(row("a", Outcome.MANAGED), row("a", Outcome.NOT_MANAGED, source=Source.VISIT)).practice
    assert [(day.observed, day.share_helped) for day in days] == [(False, 1.0), (True, 0.0)]


def test_a_day_without_entries_is_not_there() -> None:
    assert [d.day for d in series(row("a", Outcome.MANAGED), row("a", Outcome.MANAGED, day=3)).practice] == [
        DAY,
        DAY + timedelta(days=3),
    ]


def test_a_probe_counts_steps_alone_of_all_the_childs_steps() -> None:
    (found,) = series(
        probe("a", Outcome.MANAGED, probe=ProbeKind.SINGLE),
        probe("b", Outcome.NOT_MANAGED, probe=ProbeKind.SINGLE),
    ).probes
    assert (found.alone, found.steps, found.unseen, found.kind) == (1, 3, 1, ProbeKind.SINGLE)
    assert found.share_alone == pytest.approx(1 / 3)


def test_steps_that_only_an_adult_does_are_no_part_of_the_whole() -> None:
    skill = SkillVersion(1, "Hat", (Step("a", "Take", ""), Step("b", "Cut", "", adult_only=True)))
    (found,) = series_of(PracticeLog.of([probe("a", Outcome.MANAGED)]), skill, TOP).probes
    assert found.share_alone == 1.0


def test_one_step_has_its_own_series() -> None:
    one = series(row("a", Outcome.MANAGED), row("b", Outcome.NOT_MANAGED), step_id="b")
    assert (one.skill, one.practice[0].helped, one.practice[0].helped_of) == ("Lift", 0, 1)


def test_a_step_of_another_version_is_refused() -> None:
    with pytest.raises(BadValue):
        series(step_id="z")


marks = st.builds(
    row,
    st.sampled_from("abc"),
    st.sampled_from(
        [Outcome.MANAGED, Outcome.NOT_MANAGED, Outcome.STOPPED, Outcome.MISSING, Outcome.BY_ADULT]
    ),
    day=st.integers(0, 4),
    turn=st.integers(1, 3),
    source=st.sampled_from([Source.HOME, Source.VISIT, Source.PAPER]),
    offered=st.integers(1, 5),
)


@given(st.lists(marks, max_size=15, unique_by=lambda entry: entry.identity))
def test_every_mark_is_counted_once(rows: list[Entry]) -> None:
    days = series(*rows).practice
    told = sum(day.marks + day.stopped + day.missing for day in days)
    assert told == sum(entry.outcome is not Outcome.BY_ADULT for entry in rows)
    assert all(day.alone + day.unclear <= day.marks for day in days)
    assert all(day.helped <= day.helped_of <= day.marks for day in days)


def test_phases_are_baseline_then_each_plan_that_changed_something() -> None:
    told = series(probe("a", Outcome.MANAGED, source=Source.BASELINE))
    plans = [plan(1, 3, {"c": 1}), plan(2, 10, {"c": 1}), plan(3, 17, {"c": 3})]
    phases = phases_of(told, plans)
    assert [(p.kind, p.number) for p in phases] == [
        (PhaseKind.BASELINE, None),
        (PhaseKind.TEACHING, 1),
        (PhaseKind.TEACHING, 3),
    ]
    assert [p.end for p in phases] == [DAY + timedelta(days=3), DAY + timedelta(days=17), None]
    assert phases[1].help_names == ("light touch",)


def test_the_day_of_a_change_belongs_to_the_new_phase() -> None:
    first, second = phases_of(series(), [plan(1, 0, {"c": 1}), plan(2, 7, {"c": 2})])
    assert not first.holds(DAY + timedelta(days=7))
    assert second.holds(DAY + timedelta(days=7))


def test_a_plan_replaced_on_its_first_day_has_no_phase() -> None:
    phases = phases_of(series(), [plan(1, 0, {"c": 1}), plan(2, 0, {"c": 2})])
    assert [p.number for p in phases] == [2]


def test_another_material_grade_is_another_phase() -> None:
    phases = phases_of(series(), [plan(1, 0, {"c": 1}, grade="large"), plan(2, 7, {"c": 1}, grade="usual")])
    assert [p.grade for p in phases] == ["large", "usual"]


def test_carry_over_ends_the_teaching() -> None:
    phases = phases_of(series(), [plan(1, 0, {"c": 1}), plan(2, 30, {"c": 5})], DAY + timedelta(days=20))
    assert [p.kind for p in phases] == [PhaseKind.TEACHING, PhaseKind.CARRY_OVER]


def test_least_to_most_has_no_offer() -> None:
    (phase,) = phases_of(series(), [plan(1, 0, {"c": 5}, order_of_help=OrderOfHelp.LEAST_TO_MOST)])
    assert (phase.helps, phase.help_names) == (None, ())


def test_a_steps_baseline_lasts_until_it_is_asked() -> None:
    told = series(probe("b", Outcome.NOT_MANAGED), probe("b", Outcome.NOT_MANAGED, day=9), step_id="b")
    plans = [plan(1, 3, {"c": 1}), plan(2, 12, {"b": 2, "c": 5}), plan(3, 20, {"c": 5})]
    phases = phases_of_step(told, plans, "b")
    assert [(p.kind, p.number) for p in phases] == [
        (PhaseKind.BASELINE, None),
        (PhaseKind.TEACHING, 2),
        (PhaseKind.NOT_ASKED, None),
    ]
    assert phases[1].asked == ("Lift",)
