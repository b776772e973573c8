"""Two scorers of the same turns: point-by-point and kappa by hand-checked cases, and how much of it."""

from __future__ import annotations

from datetime import date

import pytest
from sklearn.metrics import cohen_kappa_score

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.agreement_of_log import agreement_of_log, label, possible_scorers
from bylittle.core.faults import NotEnoughData
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, Source

DAY, TOP = date(2026, 3, 2), 5
INES, JONAH = Scorer(Source.VISIT, "IF"), Scorer(Source.VISIT, "JR")
YES, NO = Outcome.MANAGED, Outcome.NOT_MANAGED


def mark(turn: int, outcome: Outcome, who: Scorer, step: str = "pull") -> Entry:
    return Entry(DAY, turn, step, outcome, who.source, who.adult, offered=3)


def both(table: list[tuple[Outcome, Outcome, int]], extra: int = 0) -> PracticeLog:
    """As many turns of each pair as told, and `extra` turns that one scorer alone wrote down."""
    pairs = [pair for one, other, n in table for pair in [(one, other)] * n]
    rows = [e for t, (a, b) in enumerate(pairs, 1) for e in (mark(t, a, INES), mark(t, b, JONAH))]
    return PracticeLog.of([*rows, *(mark(len(pairs) + 1 + n, YES, INES) for n in range(extra))])


def test_point_by_point_of_eight_steps_seven_alike() -> None:
    """7 of 8 alike is 87.5 % (common worked example of the trade)."""
    found = agreement_of_log(both([(YES, YES, 5), (NO, NO, 2), (YES, NO, 1)]), INES, JONAH, TOP)
    assert (found.whole.n, found.whole.alike, found.whole.share) == (8, 7, 0.875)
    assert [d.one.turn for d in found.differences] == [8]


def test_kappa_of_a_two_by_two_table() -> None:
    """20, 5, 10, 15: observed .70, by chance .50, kappa .40 (Cohen 1960 by hand)."""
    log = both([(YES, YES, 20), (YES, NO, 5), (NO, YES, 10), (NO, NO, 15)])
    found = agreement_of_log(log, INES, JONAH, TOP)
    assert found.whole.share == pytest.approx(0.70)
    assert found.whole.kappa is not None
    assert found.whole.kappa.estimate == pytest.approx(0.40)


def test_kappa_is_that_of_scikit_learn() -> None:
    log = both([(YES, YES, 9), (YES, NO, 2), (NO, YES, 1), (NO, NO, 4), (Outcome.STOPPED, NO, 2)])
    found = agreement_of_log(log, INES, JONAH, TOP)
    rows = {(e.adult, e.turn): label(e, TOP) for e in log.entries()}
    turns = range(1, 19)
    expected = cohen_kappa_score([rows["IF", t] for t in turns], [rows["JR", t] for t in turns])
    assert found.whole.kappa is not None
    assert found.whole.kappa.estimate == pytest.approx(expected)


def test_share_scored_counts_each_turn_once() -> None:
    found = agreement_of_log(both([(YES, YES, 3)], extra=9), INES, JONAH, TOP)
    assert found.share_scored == pytest.approx(3 / 12)
    assert found.enough_scored
    assert not agreement_of_log(both([(YES, YES, 2)], extra=9), INES, JONAH, TOP).enough_scored


def test_kappa_does_not_exist_where_both_wrote_one_and_the_same() -> None:
    found = agreement_of_log(both([(YES, YES, 6)]), INES, JONAH, TOP)
    assert found.whole.kappa is None
    assert found.enough_alike


def test_steps_are_told_apart() -> None:
    rows = [mark(1, YES, INES), mark(1, YES, JONAH), mark(1, YES, INES, "stamp"), mark(1, NO, JONAH, "stamp")]
    found = agreement_of_log(PracticeLog.of(rows), INES, JONAH, TOP)
    assert {step: each.share for step, each in found.by_step} == {"pull": 1.0, "stamp": 0.0}
    assert [phase for phase, _ in found.by_phase] == ["practice"]


def test_a_mark_that_one_alone_wrote_is_no_point() -> None:
    rows = [mark(1, YES, INES), mark(1, YES, JONAH), mark(1, YES, INES, "stamp")]
    assert agreement_of_log(PracticeLog.of(rows), INES, JONAH, TOP).whole.n == 1


def test_nothing_shared_is_a_named_refusal() -> None:
    with pytest.raises(NotEnoughData) as told:
        agreement_of_log(PracticeLog.of([mark(1, YES, INES)]), INES, JONAH, TOP)
    assert (told.value.n, told.value.needed) == (0, 1)


def test_possible_scorers_are_those_with_shared_points_and_never_the_family() -> None:
    rows = [*both([(YES, YES, 4)]).records, *(mark(t, YES, Scorer(Source.HOME, "M")) for t in range(1, 5))]
    assert possible_scorers(PracticeLog.of(rows)) == ((INES, JONAH, 4),)
