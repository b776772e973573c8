"""How the adults help: from checks at visits and from marks, with the doubt said aloud."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bylittle.core.evidence.agreement import difference
from bylittle.core.evidence.child_record import FamilyAdult, Written
from bylittle.core.evidence.coaching_facts import coaching_facts, measured, share_of
from bylittle.core.evidence.kept_parts import KeptFidelity
from bylittle.core.evidence.record_facts import Asked, Period
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from tests.child_records import TODAY, example

STEP = example().skills[0].newest.steps.steps[-1].id
ADULTS = (FamilyAdult("Mum", "M"), FamilyAdult("Dad", "D"), FamilyAdult("Nana", "N"))


def marks(adult: str, managed: int, of: int, step: str = STEP, source: Source = Source.HOME) -> list[Entry]:
    home = {"source": source, "adult": adult, "offered": 2}
    days = [TODAY - timedelta(days=of - place) for place in range(of)]
    return [
        Entry(day, 1, step, Outcome.MANAGED if place < managed else Outcome.NOT_MANAGED, **home)
        for place, day in enumerate(days)
    ]


def asked(*entries: Entry, coaching: tuple[KeptFidelity, ...] = (), noted: bool = False) -> Asked:
    record = example()
    lines = tuple(Written(entry) for entry in entries)
    skill = replace(record.skills[0], practice=lines, coaching=coaching, adults_differ=noted)
    period = Period(TODAY - timedelta(days=90), TODAY)
    return Asked(replace(record, skills=(skill,), adults=ADULTS), skill, period)


def check(adult: str, days_ago: int = 1, **seen: str) -> KeptFidelity:
    return KeptFidelity(TODAY - timedelta(days=days_ago), adult, 1, tuple(seen.items()))


def test_newcombes_own_example() -> None:
    """56 of 70 against 48 of 80: 0.0524 to 0.3339 (Newcombe 1998, Stat Med 17:873, table II, method 10)."""
    low, high = difference(56, 70, 48, 80)
    assert low == pytest.approx(0.0524, abs=5e-5)
    assert high == pytest.approx(0.3339, abs=5e-5)


def test_a_stricter_level_makes_the_interval_wider() -> None:
    low, high = difference(56, 70, 48, 80)
    wide_low, wide_high = difference(56, 70, 48, 80, 0.99)
    assert wide_low < low < high < wide_high


def test_adults_whose_marks_lie_far_apart_are_told_by_name_with_the_interval() -> None:
    (fact,) = measured(asked(*marks("M", 18, 20), *marks("D", 4, 20)))
    assert fact.code == "adults_marks_apart"
    assert fact.values["adults"] == ("Dad", "Mum")
    assert (fact.values["first"], fact.values["second"]) == (0.2, 0.9)
    low, high = difference(4, 20, 18, 20)
    assert (fact.values["gap_low"], fact.values["gap_high"]) == (low, high)


def test_adults_who_may_well_be_alike_are_not_called_apart() -> None:
    (fact,) = measured(asked(*marks("M", 12, 20), *marks("D", 10, 20)))
    assert fact.code == "adults_marks_alike"


def test_only_the_same_step_with_the_same_help_is_compared() -> None:
    other = example().skills[0].newest.steps.steps[0].id
    (fact,) = measured(asked(*marks("M", 20, 20), *marks("D", 0, 20, step=other)))
    assert (fact.code, fact.values["needed"]) == ("adults_too_few_marks", 8)


def test_what_a_therapist_saw_is_no_mark_of_an_adult_at_home() -> None:
    assert measured(asked(*marks("M", 20, 20), *marks("IF", 0, 20, source=Source.VISIT))) == []


def test_three_adults_are_compared_at_a_stricter_level() -> None:
    """What is apart between two alone need not be so once three pairs are looked at."""
    alone = asked(*marks("M", 14, 20), *marks("D", 7, 20))
    three = asked(*marks("M", 14, 20), *marks("D", 7, 20), *marks("N", 10, 20))
    assert measured(alone)[0].code == "adults_marks_apart"
    assert measured(three)[0].code == "adults_marks_alike"
    assert measured(three)[0].values["adults"] == ("Dad", "Mum")


def test_one_adult_alone_is_compared_with_nobody() -> None:
    assert measured(asked(*marks("M", 5, 20))) == []


def test_the_last_check_of_each_adult_stands_beside_the_first() -> None:
    told = asked(
        coaching=(
            check("M", 30, wait="not", cue_words="done"),
            check("M", 2, wait="done", cue_words="partly"),
        )
    )
    fact = next(fact for fact in coaching_facts(told) if fact.code == "fidelity_of_adult")
    assert (fact.values["adult"], fact.values["share"], fact.values["first"]) == ("Mum", 0.75, 0.5)
    assert (fact.refers_to[0].first, fact.refers_to[0].last) == (
        TODAY - timedelta(days=30),
        TODAY - timedelta(days=2),
    )


def test_what_one_adult_does_and_another_does_not_is_named() -> None:
    told = asked(coaching=(check("M", wait="done", praise="done"), check("D", wait="not", praise="partly")))
    fact = next(fact for fact in coaching_facts(told) if fact.code == "adults_seen_apart")
    assert fact.values["items"] == ("wait",)


def test_a_check_in_which_nothing_was_seen_says_nothing() -> None:
    blank = check("M", wait="not seen")
    assert share_of(blank) is None
    assert [fact.code for fact in coaching_facts(asked(coaching=(blank,)))] == ["no_fidelity_check"]


def test_a_check_after_the_period_is_not_known_yet() -> None:
    told = asked(coaching=(check("M", -3, wait="done"),))
    assert [fact.code for fact in coaching_facts(told)] == ["no_fidelity_check"]


def test_what_the_therapist_noted_is_told_beside_what_was_measured() -> None:
    codes = [
        fact.code for fact in coaching_facts(asked(*marks("M", 12, 20), *marks("D", 10, 20), noted=True))
    ]
    assert codes == ["adults_differ", "no_fidelity_check", "adults_marks_alike"]
