"""Facts of a record: only what it holds, only the days asked about, each with the data it rests on."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bylittle.core.evidence.child_record import ChildRecord, KeptSkill, Rating, Visit
from bylittle.core.evidence.letter_facts import letter_facts
from bylittle.core.evidence.record_facts import (
    Asked,
    Period,
    RecordFact,
    Where,
    change_facts,
    check_facts,
    goal_facts,
    notes_written,
    plan_facts,
    practice_facts,
    record_facts,
    review_facts,
    safety_facts,
    set_facts,
    units_by_day,
    visit_facts,
)
from bylittle.core.practice.marks import Outcome, Source
from tests.child_records import TODAY, example, full

WEEK = Period(TODAY - timedelta(days=6), TODAY)
ALL = Period(TODAY - timedelta(days=400), TODAY)


def asked(record: ChildRecord, period: Period = ALL) -> Asked:
    return Asked(record, record.skills[0], period)


def told(facts: list[RecordFact]) -> dict[str, RecordFact]:
    return {fact.code: fact for fact in facts}


def with_skill(record: ChildRecord, **changes: object) -> ChildRecord:
    return replace(record, skills=(replace(record.skills[0], **changes),))  # type: ignore[arg-type]


def test_practice_is_that_of_the_period_alone() -> None:
    fact = told(practice_facts(asked(example("Wren"), WEEK)))["practised"]
    home = {e.day for e in example("Wren").skills[0].log.entries() if e.source is Source.HOME}
    assert fact.values["days"] == len({day for day in home if WEEK.holds(day)})
    assert fact.refers_to[0].where is Where.PRACTICE
    assert fact.refers_to[0].skill == example("Wren").skills[0].id


def test_a_quiet_period_is_missing_and_not_zero() -> None:
    facts = practice_facts(asked(example("Bram"), WEEK))
    assert [fact.code for fact in facts] == ["nothing_in_period"]


def test_help_now_counts_marks_with_the_help_of_the_plan() -> None:
    """By hand: count managed and not managed of the asked step since the plan began."""
    record = example("Otto")
    skill = record.skills[0]
    plan = skill.plans[-1].plan
    step = plan.asked[0]
    marks = [
        e.outcome
        for e in skill.log.entries()
        if e.step_id == step.step_id and e.day >= plan.start and e.source is Source.HOME  # type: ignore[operator]
    ]
    fact = told(practice_facts(asked(record)))["help_now"]
    counted = [o for o in marks if o in (Outcome.MANAGED, Outcome.NOT_MANAGED)]
    assert (fact.values["managed"], fact.values["of"]) == (counted.count(Outcome.MANAGED), len(counted))
    assert fact.values["low"] < fact.values["managed"] / fact.values["of"] < fact.values["high"]  # type: ignore[operator]


def test_later_practice_is_not_known_yet() -> None:
    early = Period(ALL.first, example("Wren").skills[0].plans[0].plan.start - timedelta(days=1))  # type: ignore[operator]
    codes = told(change_facts(asked(example("Wren"), early)))
    assert "not_taught_yet" in codes
    assert "level_change" not in codes


def test_a_goal_rated_before_teaching_is_not_told_as_progress() -> None:
    assert "goal_not_rated_since" in told(goal_facts(asked(example("Wren"))))
    fact = told(goal_facts(asked(full())))["goal_rated"]
    assert (fact.values["level"], fact.values["on"]) == (-1, TODAY - timedelta(days=2))
    assert "goal_rated" not in told(goal_facts(asked(full(), Period(ALL.first, TODAY - timedelta(days=3)))))


def test_t_score_of_a_set_comes_with_its_levels_and_never_for_one_goal() -> None:
    """Three goals at +1, 0, +1: 59.13 (formula of Kiresuk & Sherman 1968)."""
    base = example("Wren").skills[0]

    def at(level: int, number: int) -> KeptSkill:
        goal = replace(base.goal, ratings=(Rating(TODAY, level),))  # type: ignore[type-var]
        return replace(base, id=str(number), goal=goal)

    one = replace(example("Wren"), skills=(at(1, 1),))
    assert set_facts(one, ALL) == []
    fact = set_facts(replace(one, skills=(at(1, 1), at(0, 2), at(1, 3))), ALL)[0]
    assert fact.values["t"] == 59.1
    assert len(fact.values["levels"]) == 3  # type: ignore[arg-type]
    assert [ref.skill for ref in fact.refers_to] == ["1", "2", "3"]


def test_override_is_told_apart_with_both_words() -> None:
    record = example("Wren")
    review = replace(record.skills[0].reviews[0], advised="hold", decided="move on")
    fact = review_facts(asked(with_skill(record, reviews=(review,))))[0]
    assert fact.code == "review_other"
    assert (fact.values["advised"], fact.values["decided"]) == ("hold", "move on")


def test_open_red_flag_is_told() -> None:
    assert "red_flag_open" in told(review_facts(asked(example("Ada"))))


def test_checks_are_done_due_or_overdue_as_of_the_periods_end() -> None:
    codes = [fact.code for fact in check_facts(asked(example("Pip")))]
    assert codes == ["check_kept", "check_overdue", "check_due"]
    early = Period(ALL.first, TODAY - timedelta(days=9))
    assert [fact.code for fact in check_facts(asked(example("Pip"), early))] == ["check_due"] * 3


def test_units_are_counted_day_by_day() -> None:
    """Two visits of 20 minutes on one day are 40 minutes, 3 units; on two days 1 and 1."""
    one_day = (Visit(TODAY, 30, 20), Visit(TODAY, 30, 20))
    assert units_by_day(one_day) == {TODAY: 3}
    record = replace(example("Wren"), visits=(one_day[0], replace(one_day[1], on=TODAY - timedelta(days=1))))
    facts = told(visit_facts(record, WEEK))
    assert facts["timed_units"].values["units"] == 2
    assert facts["visits"].values["minutes"] == 60


def test_no_visit_is_said() -> None:
    assert [f.code for f in visit_facts(replace(example("Wren"), visits=()), WEEK)] == ["no_visits"]


def test_notes_keep_the_writers_words_and_whose_they_are() -> None:
    record = example("Wren")
    line = record.skills[0].practice[-1]
    entry = replace(line.record, note="she laughed", source=Source.HOME, adult="M", day=TODAY, turn=9)
    record = with_skill(record, practice=(replace(line, record=entry),))
    fact = notes_written(asked(record, WEEK))[0]
    assert (fact.code, fact.values["note"], fact.values["adult"]) == ("note_by_family", "she laughed", "M")


def test_corrections_are_owned_up_to() -> None:
    assert told(record_facts(asked(full())))["corrected"].values["n"] == 2
    assert record_facts(asked(example("Otto"))) == []


def test_safety_that_nobody_wrote_down_is_said_and_not_taken_as_none() -> None:
    record = replace(example("Wren"), child=replace(example("Wren").child, allergies=" ", stop_signs=()))
    codes = [fact.code for fact in safety_facts(record)]
    assert "no_allergies" in codes
    assert "no_stop_signs" in codes
    assert "precautions" in codes


def test_drafts_are_no_plan() -> None:
    record = example("Wren")
    unsigned = tuple(replace(kept, signed_by="", signed_on=None) for kept in record.skills[0].plans)
    assert [f.code for f in plan_facts(asked(with_skill(record, plans=unsigned)))] == ["no_plan"]


@pytest.mark.parametrize(
    ("first", "last", "code"),
    [
        (0, 3, "letter_more"),
        (2, 2, "letter_same"),
        (3, 1, "letter_fewer"),
        (2, 6, "letter_all"),
        (6, 6, "letter_all_still"),
    ],
)
def test_the_letter_tells_then_and_now_as_they_were(first: int, last: int, code: str) -> None:
    """Two probes of six steps with `first` and `last` of them alone."""
    record = example("Wren")
    skill = record.skills[0]
    line, steps = skill.practice[0], skill.newest.steps.steps
    rows = [
        replace(line, record=replace(
            line.record, day=day, step_id=step.id, source=source, offered=5, needed=None,
            outcome=Outcome.MANAGED if place < alone else Outcome.NOT_MANAGED,
        ))
        for day, source, alone in ((WEEK.first, Source.BASELINE, first), (TODAY, Source.PROBE, last))
        for place, step in enumerate(steps)
    ]  # fmt: skip
    facts = told(letter_facts(asked(with_skill(record, practice=tuple(rows)), WEEK)))
    assert code in facts
    assert facts[code].values["steps"] == 6


@pytest.mark.parametrize(
    ("counts", "then", "told_as"),
    [((0, 3, 4), 3, ("3",)), ((1, 2), 1.5, ("1", "2")), ((5, 1, 2, 3), 2.5, ("2", "3")), ((4,), 4, ("4",))],
)
def test_the_letter_starts_from_the_median_that_reports_tell(
    counts: tuple[int, ...], then: float, told_as: tuple[str, ...]
) -> None:
    """Baseline probes of six steps; the level before teaching is the median, in the letter as in a report."""
    record = example("Wren")
    skill = record.skills[0]
    line, steps = skill.practice[0], skill.newest.steps.steps
    days = [TODAY - timedelta(days=60 + 3 * n) for n in range(len(counts))]
    probed = [*zip(days, [Source.BASELINE] * len(counts), counts, strict=True), (TODAY, Source.PROBE, 5)]
    rows = [
        replace(line, record=replace(
            line.record, day=day, step_id=step.id, source=source, offered=5, needed=None,
            outcome=Outcome.MANAGED if place < alone else Outcome.NOT_MANAGED,
        ))
        for day, source, alone in sorted(probed)
        for place, step in enumerate(steps)
    ]  # fmt: skip
    seen = asked(with_skill(record, practice=tuple(rows)), WEEK)
    letter = next(fact for fact in letter_facts(seen) if "then" in fact.values)
    report = told(change_facts(seen))["level_change"]
    assert letter.values["then"] == report.values["before"] == then
    assert letter.values["then_told"] == told_as
    assert letter.refers_to[0].first == min(days)


def test_the_letter_for_a_quiet_time_blames_nobody() -> None:
    assert "letter_no_practice" in told(letter_facts(asked(example("Bram"), WEEK)))
