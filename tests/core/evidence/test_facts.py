"""The facts of a report: the right numbers, every caution, and a named fact where data are too few."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from statsmodels.stats.proportion import confint_proportions_2indep

from bylittle.core.evidence.agreement import (
    Scorer,
    difference,
    double_scored,
    reported_and_observed,
    same_turns,
)
from bylittle.core.evidence.amount import amount_facts
from bylittle.core.evidence.cautions import caution_facts, rising
from bylittle.core.evidence.change import change_facts
from bylittle.core.evidence.facts import Fact, Kind, Material
from bylittle.core.evidence.phases import Phase, PhaseKind
from bylittle.core.evidence.report import report_facts
from bylittle.core.evidence.series import PracticeDay, Probe, Series
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.steps import SkillVersion, Step

DAY = date(2026, 3, 2)


def at(day: int) -> date:
    return DAY + timedelta(days=day)


def probe(day: int, alone: int, *, baseline: bool = False, **more: object) -> Probe:
    plain = Probe(at(day), 1, "Ines", baseline, None, 4, alone, 0, False, ())
    return replace(plain, **more)  # type: ignore[arg-type]


def practice(day: int, helped: int, **more: object) -> PracticeDay:
    plain = PracticeDay(at(day), False, ("M",), 4, 4, 0, 4, helped, 4, 0, 0, 2, 2)
    return replace(plain, **more)  # type: ignore[arg-type]


TAUGHT = Phase(PhaseKind.TEACHING, at(10), None, 1, ("Pull",), (1, 1), ("light touch",))


def material(
    before: list[int], after: list[int], practised: list[PracticeDay] | None = None, **more: object
) -> Material:
    probes = [probe(i, alone, baseline=True) for i, alone in enumerate(before)]
    probes += [probe(12 + 7 * i, alone) for i, alone in enumerate(after)]
    series = Series("Put on a sun hat", ("a", "b", "c", "d"), 5, tuple(practised or ()), tuple(probes))
    return replace(Material(series, (TAUGHT,)), **more)  # type: ignore[arg-type]


def told(facts: list[Fact] | tuple[Fact, ...]) -> dict[str, Fact]:
    return {fact.code: fact for fact in facts}


def test_level_before_and_since_are_medians_of_steps_alone() -> None:
    values = told(change_facts(material([0, 1, 0], [2, 3, 4])))["level_change"].values
    assert (values["before"], values["after"], values["last"], values["steps"]) == (0.0, 3.0, 4, 4)


def test_overlap_is_nap_of_the_probes() -> None:
    """By hand: 3 x 3 pairs of 0,1,0 and 1,2,2: eight wins and one tie, 8.5 / 9 (Parker & Vannest 2009)."""
    values = told(change_facts(material([0, 1, 0], [1, 2, 2])))["overlap"].values
    assert values["estimate"] == pytest.approx(8.5 / 9)
    assert values["low"] < values["estimate"] < values["high"]  # type: ignore[operator]


@pytest.mark.parametrize(("before", "after"), [([0], [1, 2]), ([0, 1, 0], [2])])
def test_one_point_in_a_phase_is_a_named_refusal_with_the_number_needed(
    before: list[int], after: list[int]
) -> None:
    fact = told(change_facts(material(before, after)))["overlap_too_few"]
    assert (fact.values["n"], fact.values["needed"]) == (1, 2)


def test_all_values_equal_give_no_difference_and_no_crash() -> None:
    values = told(change_facts(material([0, 0, 0], [0, 0, 0])))["overlap"].values
    assert values["estimate"] == 0.5


def test_without_baseline_no_change_is_told() -> None:
    facts = told(change_facts(material([], [2, 3])))
    assert "no_baseline" in facts
    assert "level_change" not in facts
    assert "overlap" not in facts


def test_without_a_probe_since_teaching_no_change_is_told() -> None:
    assert list(told(change_facts(material([0, 1], [])))) == ["level_before", "no_probe_since"]


def test_trend_is_theil_sen_in_steps_a_week() -> None:
    values = told(change_facts(material([0, 0, 0], [1, 2, 3])))["trend_since_rising"].values
    assert values["slope"] == pytest.approx(1.0)


def test_a_rising_baseline_is_said_and_its_trend_taken_off() -> None:
    found = material([0, 1, 2], [3, 4, 4])
    assert "baseline_rising" in told(caution_facts(found))
    facts = told(change_facts(found))
    assert facts["overlap_less_trend"].values["estimate"] < facts["overlap"].values["estimate"]  # type: ignore[operator]


@pytest.mark.parametrize(
    ("points", "gain"),
    [([0.0, 0.5], None), ([0.5, 0.25, 0.0], None), ([0.2, 0.2, 0.2], None), ([0.0, 0.25, 0.5], 0.5)],
)
def test_rising_needs_three_points_that_rise(points: list[float], gain: float | None) -> None:
    assert rising(points) == gain


def test_short_baselines_are_said_in_two_strengths() -> None:
    assert told(caution_facts(material([0, 0], [1])))["baseline_too_short"].values["needed"] == 3
    assert told(caution_facts(material([0, 0, 0], [1])))["baseline_short"].values["wanted"] == 5
    assert not {"baseline_too_short", "baseline_short"} & told(caution_facts(material([0] * 5, [1]))).keys()


def test_a_ceiling_is_said_before_and_now() -> None:
    assert told(caution_facts(material([4, 4, 3], [4])))["ceiling_before"].values["level"] == 1.0
    assert "ceiling_now" in told(caution_facts(material([0, 0, 0], [4, 4, 4])))
    assert "ceiling_now" not in told(caution_facts(material([0, 0, 0], [4, 4])))


def test_neighbours_that_are_alike_are_said() -> None:
    slow = [0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]
    assert told(caution_facts(material([0] * 5, slow)))["autocorrelated"].values["r"] > 0.5  # type: ignore[operator]
    assert "autocorrelated" not in told(caution_facts(material([0, 1, 0, 1, 0], [3, 4, 3, 4])))


def test_a_changed_measure_is_said() -> None:
    found = material([0, 0, 0], [2, 3])
    single, multiple = (replace(p, kind=k) for p, k in zip(found.series.probes[:2], ProbeKind, strict=False))
    mixed = replace(found, series=replace(found.series, probes=(single, multiple, *found.series.probes[2:])))
    assert told(caution_facts(mixed))["probe_kind_changed"].values["kinds"] == ("multiple", "single")
    versions = ((at(0), 4), (at(20), 5))
    assert told(caution_facts(replace(found, versions=versions)))["steps_changed"].values["after"] == 5
    easier = replace(TAUGHT, grade="large"), replace(TAUGHT, first=at(20), grade="usual")
    assert "material_changed" in told(caution_facts(replace(found, phases=easier)))


def test_probes_elsewhere_are_said() -> None:
    found = material([0, 0, 0], [2])
    placed = tuple(replace(p, place="home" if p.baseline else "nursery") for p in found.series.probes)
    facts = told(caution_facts(replace(found, series=replace(found.series, probes=placed))))
    assert facts["place_changed"].values == {"before": ("home",), "after": ("nursery",)}


def test_one_start_is_progress_monitoring_and_three_are_more() -> None:
    assert "design_ab" in told(caution_facts(material([0], [1])))
    two = material([0], [1], tiers=(at(10), at(20)))
    assert "design_ab" in told(caution_facts(two))
    three = material([0], [1], tiers=(at(10), at(20), at(30)))
    assert told(caution_facts(three))["design_staggered"].values["starts"] == 3


def test_blank_days_and_marks_are_missing() -> None:
    fact = told(amount_facts(material([], [], [practice(0, 4), practice(1, 4), practice(9, 4, missing=2)])))[
        "missing"
    ]
    assert fact.values == {"blank": 7, "longest": 7, "since": at(1), "marks": 2}


def test_full_practice_misses_nothing() -> None:
    assert "missing" not in told(amount_facts(material([], [], [practice(i, 4) for i in range(5)])))


def test_practice_is_counted_in_days_and_turns() -> None:
    days = [practice(0, 4), practice(0, 3, observed=True, adults=("Ines",)), practice(6, 4)]
    values = told(amount_facts(material([], [], days)))["practised"].values
    assert (values["days"], values["span"], values["turns"]) == (2, 7, 12)
    assert (values["reported"], values["observed"], values["adults"]) == (2, 1, ("Ines", "M"))
    assert values["per_week"] == pytest.approx(2.0)


def test_stops_are_told_with_their_days() -> None:
    days = [practice(0, 4, stopped=2), practice(1, 4, stopped=1), practice(2, 4)]
    assert told(amount_facts(material([], [], days)))["stops"].values == {"stops": 3, "days": 2}


def test_the_course_of_help_tells_the_last_days_only() -> None:
    later = replace(TAUGHT, first=at(20), number=2, helps=(4, 4), help_names=("words",))
    days = [practice(11, 0), *(practice(20 + i, 3) for i in range(6))]
    found = material([], [], days, phases=(replace(TAUGHT, end=at(20)), later))
    values = told(amount_facts(found))["help_course"].values
    assert (values["first_help"], values["last_help"]) == (("light touch",), ("words",))
    assert (values["last_days"], values["managed"], values["of"]) == (5, 15, 20)


def mark(
    day: int, turn: int, outcome: Outcome, source: Source = Source.HOME, adult: str = "M", **more: object
) -> Entry:
    return Entry(at(day), turn, "a", outcome, source, adult, 2, **more)  # type: ignore[arg-type]


def test_newcombes_interval_of_a_difference() -> None:
    """56/70 less 48/80 is an example of Newcombe (1998), Statistics in Medicine 17:873; from memory."""
    assert difference(56, 70, 48, 80) == pytest.approx((0.0524, 0.3339), abs=5e-5)


@pytest.mark.parametrize("counts", [(56, 70, 48, 80), (3, 9, 7, 8), (0, 6, 2, 11), (5, 5, 0, 5)])
def test_the_difference_agrees_with_statsmodels(counts: tuple[int, int, int, int]) -> None:
    """statsmodels 0.14, confint_proportions_2indep, method "newcomb"."""
    expected = confint_proportions_2indep(*counts, method="newcomb", compare="diff")
    assert difference(*counts) == pytest.approx(expected, abs=1e-9)


def test_family_marks_that_run_ahead_are_told_with_their_interval() -> None:
    home = [mark(d, t, Outcome.MANAGED) for d in range(5) for t in range(1, 5)]
    visit = [mark(d, t, Outcome.NOT_MANAGED, Source.VISIT, "Ines") for d in range(2) for t in range(1, 5)]
    (fact,) = reported_and_observed([*home, *visit], 5)
    assert (fact.code, fact.values["gap"], fact.values["reported_n"]) == ("reported_ahead", 1.0, 20)
    assert fact.sources[0].kind is Kind.AGREEMENT


def test_marks_with_other_help_are_not_compared() -> None:
    home = [mark(d, 1, Outcome.MANAGED) for d in range(9)]
    visit = [replace(mark(d, 1, Outcome.NOT_MANAGED, Source.VISIT, "Ines"), offered=5) for d in range(9)]
    (fact,) = reported_and_observed([*home, *visit], 5)
    assert (fact.code, fact.values["reported"]) == ("too_few_to_compare", 0)


def test_the_same_marks_are_told_as_alike() -> None:
    rows = [
        mark(d, 1, Outcome.MANAGED, s, a)
        for d in range(9)
        for s, a in ((Source.HOME, "M"), (Source.VISIT, "I"))
    ]
    assert reported_and_observed(rows, 5)[0].code == "reported_alike"


def test_double_scored_turns_give_agreement_and_their_share() -> None:
    """7 of 8 alike is 87.5 % (common practice, worked example of point-by-point agreement)."""
    outcomes = [Outcome.MANAGED] * 5 + [Outcome.NOT_MANAGED] * 3
    first = [mark(0, t, o, Source.VISIT, "Ines") for t, o in enumerate(outcomes, 1)]
    second = [replace(entry, adult="Jonah") for entry in first]
    second[0] = replace(second[0], outcome=Outcome.NOT_MANAGED)
    alone = [mark(1, t, Outcome.MANAGED, Source.VISIT, "Ines") for t in range(1, 9)]
    log = PracticeLog.of([*first, *second, *alone])
    pairs = same_turns(log, Scorer(Source.VISIT, "Ines"), Scorer(Source.VISIT, "Jonah"))
    (fact,) = double_scored(log, pairs, 5)
    assert (fact.values["n"], fact.values["alike"], fact.values["share_scored"]) == (8, 0.875, 0.5)
    assert fact.values["kappa"] == pytest.approx(0.75, abs=0.01)


def test_nothing_double_scored_is_said() -> None:
    assert double_scored(PracticeLog(), (), 5)[0].code == "not_double_scored"


def test_a_report_on_nothing_is_a_report_that_says_so() -> None:
    skill = SkillVersion(1, "Put on a sun hat", (Step("a", "Take", ""),))
    codes = [fact.code for fact in report_facts(PracticeLog(), skill, [], 5)]
    assert codes == [
        "not_taught_yet",
        "nothing_practised",
        "no_baseline",
        "too_few_to_compare",
        "not_double_scored",
    ]
