"""Each pattern finder alone, on small made logs: found where plainly there, silent with too little, and
false no more often than it says.

Outside checks: Fisher's exact test against scipy; Cochran's test against statsmodels; the interval of a
difference (Agresti and Caffo 2000) by hand.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray
from scipy import stats
from scipy.special import expit
from statsmodels.stats.contingency_tables import StratifiedTable

from bylittle.core.advice import SkillTracker, patterns_in_time, patterns_of_help, patterns_of_steps
from bylittle.core.advice.adviser import find_patterns
from bylittle.core.advice.facts import DONE, Stops
from bylittle.core.advice.patterns import Look, Pattern, PatternKind, fisher_greater, look
from bylittle.core.faults import NotEnoughData
from bylittle.core.learning.forecast import outlook
from bylittle.core.learning.history import FIELDS, SOURCES, Rows, unpacked
from bylittle.core.learning.tracker import Settings, begin, enter
from bylittle.core.practice.marks import Mark, Source, Status

TOP, WORDS, POINTING = 5, 4, 3
HOME, PROBE, VISIT = (SOURCES.index(source) for source in (Source.HOME, Source.PROBE, Source.VISIT))
ADULTS = ("M", "D")
EMPTY = outlook(begin(Settings(4, TOP + 1)), 1)
LOGS = 300


def made(
    day: ArrayLike,
    turn: ArrayLike,
    step: ArrayLike,
    offered: ArrayLike,
    good: ArrayLike,
    *,
    lo: ArrayLike | None = None,
    hi: ArrayLike | None = None,
    source: ArrayLike = HOME,
    adult: ArrayLike = 0,
    grade: ArrayLike = 0,
) -> Look:
    """A look at a log given as columns: fixed offers unless `lo` and `hi` say what was marked."""
    day, turn, step, offered, good = np.broadcast_arrays(day, turn, step, offered, good)
    columns = np.zeros((len(day), len(FIELDS)), dtype=np.int64)
    told = {
        "step": step,
        "offered": offered,
        "status": DONE,
        "lo": np.where(good, offered, 0) if lo is None else lo,
        "hi": np.where(good, TOP, offered - 1) if hi is None else hi,
        "source": source,
        "adult": adult,
        "grade": grade,
    }
    for name, values in told.items():
        columns[:, FIELDS.index(name)] = values
    order = np.lexsort((step, turn, day))
    _, overall = np.unique(day * 1000 + turn, return_inverse=True)
    return look(Rows(day[order], overall[order], turn[order], columns[order]), EMPTY, ADULTS)


def grid(days: int, turns: int, steps: int = 1) -> tuple[NDArray[np.int64], ...]:
    """Columns day, turn and step of a full log."""
    day, turn, step = np.meshgrid(np.arange(days), np.arange(turns), np.arange(steps), indexing="ij")
    return day.ravel(), turn.ravel(), step.ravel()


def not_above(finds: int, level: float, logs: int = LOGS) -> bool:
    """Whether so many false finds agree with `level`, three standard errors allowed."""
    return finds / logs <= level + 3 * np.sqrt(level * (1 - level) / logs)


def false_finds(log: Callable[[np.random.Generator], Look], finder: Callable[[Look], Pattern | None]) -> int:
    rng = np.random.default_rng(20260)
    return sum(finder(log(rng)) is not None for _ in range(LOGS))


# --- the tests beneath, against the world outside


def test_fisher_agrees_with_scipy() -> None:
    rng = np.random.default_rng(1)
    for a, b, c, d in rng.integers(0, 25, (200, 4)).tolist():
        outside = stats.fisher_exact([[a, b], [c, d]], alternative="greater").pvalue
        assert fisher_greater(a, b, c, d) == pytest.approx(outside, rel=1e-8, abs=1e-12)


def test_fisher_by_hand() -> None:
    """All four successes in one of two rows of four: 1 of 70 tables (4 of 8 chosen)."""
    assert fisher_greater(4, 0, 0, 4) == pytest.approx(1 / 70)
    assert fisher_greater(3, 1, 1, 3) == pytest.approx(17 / 70)  # (16 + 1) / 70
    assert fisher_greater(0, 4, 4, 0) == pytest.approx(1.0)


def test_the_interval_of_a_difference_by_hand() -> None:
    """9 of 10 and 3 of 8: (10/12, 4/10) after one success and one miss were added to each.

    se = sqrt(.833 x .167 / 12 + .4 x .6 / 10) = sqrt(.0115741 + .024) = .188611; x 1.6449 = .310246.
    """
    gap, low, high = patterns_of_help.difference(9, 10, 3, 8)
    assert gap == pytest.approx(0.525)
    assert (low, high) == pytest.approx((0.433333 - 0.310246, 0.433333 + 0.310246), abs=1e-5)


def test_adults_are_compared_as_statsmodels_does() -> None:
    rng = np.random.default_rng(7)
    day, turn, step = grid(20, 4, 2)
    adult = rng.integers(0, 2, len(day))
    offered = rng.choice([POINTING, WORDS], len(day))
    good = rng.random(len(day)) < 0.45 + 0.2 * adult + 0.1 * step
    seen = made(day, turn, step, offered, good, adult=adult)
    tables = [
        [[int((at & good & who).sum()), int((at & ~good & who).sum())] for who in (adult == 0, adult == 1)]
        for s in (0, 1)
        for level in (POINTING, WORDS)
        for at in [(step == s) & (offered == level)]
    ]
    outside = StratifiedTable([np.array(table, dtype=float) for table in tables])
    p = outside.test_null_odds(correction=False).pvalue
    assert 1e-6 < p < 0.2
    assert patterns_of_help._stratified(seen.practice, 0) == pytest.approx(p, rel=1e-9)
    found = patterns_of_help.adults_differ(seen, level=1.0)
    assert found is not None
    assert found.p == pytest.approx(p, rel=1e-9)


# --- stops rising


def test_stops_rising() -> None:
    days = tuple(range(28))
    found = patterns_in_time.stops_rising(Stops(days, (0,) * 21 + (2,) * 7, (4,) * 28))
    assert found is not None
    assert found.kind is PatternKind.STOPS_RISING
    assert {name: found.values[name] for name in ("late", "late_turns", "early", "early_turns", "days")} == {
        "late": 14,
        "late_turns": 28,
        "early": 0,
        "early_turns": 84,
        "days": 28,
    }
    assert found.p == pytest.approx(stats.fisher_exact([[14, 14], [0, 84]], alternative="greater").pvalue)


@pytest.mark.parametrize("stops", [(0,) * 5 + (2,) * 7, (2,) * 21 + (0,) * 7, (1,) * 28, (0,) * 28], ids=str)
def test_stops_that_do_not_rise_or_are_too_few_days(stops: tuple[int, ...]) -> None:
    assert patterns_in_time.stops_rising(Stops(tuple(range(len(stops))), stops, (4,) * len(stops))) is None


def test_stops_rise_by_chance_no_more_often_than_said() -> None:
    rng = np.random.default_rng(3)
    finds = 0
    for _ in range(LOGS):
        stops = tuple(rng.binomial(4, 0.2, 28).tolist())
        finds += patterns_in_time.stops_rising(Stops(tuple(range(28)), stops, (4,) * 28)) is not None
    assert not_above(finds, 0.01)


# --- warming up and tiring


@pytest.mark.parametrize(("first", "kind"), [(False, PatternKind.WARMS_UP), (True, PatternKind.TIRES)])
def test_the_first_turn_differs_from_the_later_ones(first: bool, kind: PatternKind) -> None:
    day, turn, step = grid(12, 3)
    found = patterns_in_time.warms_up_or_tires(made(day, turn, step, WORDS, (turn == 0) == first))
    assert found is not None
    assert found.kind is kind
    assert found.values["days"] == 12
    assert found.p == pytest.approx(stats.binomtest(12, 12, 0.5).pvalue)


def test_seven_days_cannot_show_warming_up() -> None:
    day, turn, step = grid(7, 3)
    assert patterns_in_time.warms_up_or_tires(made(day, turn, step, WORDS, turn > 0)) is None


def test_warming_up_is_seen_by_chance_no_more_often_than_said() -> None:
    day, turn, step = grid(20, 4)
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < 0.6),
        patterns_in_time.warms_up_or_tires,
    )
    assert not_above(finds, 0.01)


# --- plateau


def test_a_plateau_is_found_with_its_step() -> None:
    day, turn, step = grid(20, 16, 2)
    good = np.where(step == 1, turn < 11, turn < 3 + day * 12 // 19)
    found = patterns_in_time.plateau(made(day, turn, step, WORDS, good))
    assert found is not None
    assert (found.kind, found.steps, found.values["days"]) == (PatternKind.PLATEAU, (1,), 18)
    assert found.p <= patterns_in_time.FLAT_LEVEL


@pytest.mark.parametrize(
    ("days", "turns", "good", "offered"),
    [(17, 8, 5, WORDS), (19, 2, 1, WORDS), (20, 8, 8, WORDS), (20, 8, 7, TOP)],
    ids=["too few days", "too few marks", "nothing left to gain", "well alone"],
)
def test_no_plateau(days: int, turns: int, good: int, offered: int) -> None:
    day, turn, step = grid(days, turns)
    assert patterns_in_time.plateau(made(day, turn, step, offered, turn < good)) is None


def test_no_plateau_while_help_changes() -> None:
    day, turn, step = grid(20, 8)
    assert patterns_in_time.plateau(made(day, turn, step, WORDS, turn < 5)) is not None
    offered = np.where(day % 2, WORDS, POINTING)
    assert patterns_in_time.plateau(made(day, turn, step, offered, turn < 5)) is None


def test_a_child_who_gains_is_called_flat_no_more_often_than_said() -> None:
    """The gain that a plateau refutes, .20 between the halves, is really there: .50, then .70."""
    day, turn, step = grid(18, 8)
    rate = np.where(day < 9, 0.5, 0.7)
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < rate), patterns_in_time.plateau
    )
    assert not_above(finds, patterns_in_time.FLAT_LEVEL)


def test_a_small_rise_is_no_plateau_however_many_goes_show_it() -> None:
    day, turn, step = grid(24, 20)
    assert patterns_in_time.plateau(made(day, turn, step, WORDS, turn < np.where(day < 12, 12, 13))) is None
    assert patterns_in_time.plateau(made(day, turn, step, WORDS, turn < 12)) is not None


def test_days_that_swing_hide_whether_there_is_a_gain() -> None:
    """As many goes managed in either half; but with days so unlike, a gain could still be there."""
    day, turn, step = grid(24, 8)
    even = made(day, turn, step, WORDS, turn < 4)
    swinging = made(day, turn, step, WORDS, day % 4 < 2)
    assert patterns_in_time.plateau(even) is not None
    assert patterns_in_time.plateau(swinging) is None


def test_level_is_shared_among_the_steps_and_a_steady_rise_is_seldom_called_flat() -> None:
    day, turn, step = grid(24, 4, 5)
    rate = 0.4 + 0.4 * day / 23
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < rate), patterns_in_time.plateau
    )
    assert not_above(finds, patterns_in_time.FLAT_LEVEL)


def test_a_least_to_most_record_shows_a_level_that_never_works() -> None:
    """Alone and with words it did not go, pointing never ended a go: showing did."""
    marks = [[Mark(0, TOP, Status.DONE, 2, 2, ladder=True)] for _ in range(40)]
    state = begin(Settings(1))
    for number, turn in enumerate(marks):
        state, _ = enter(state, number // 4, turn)
    found = patterns_of_help.level_without_use(look(unpacked(state.recent), outlook(state)))
    assert found is not None
    assert found.values["managed"] == 0


# --- loss


def test_a_loss_is_found_with_its_step_and_shares() -> None:
    day, turn, step = grid(12, 4, 2)
    good = (step == 0) | (day < 9)
    found = patterns_in_time.loss(made(day, turn, step, TOP, good))
    assert found is not None
    assert (found.kind, found.steps) == (PatternKind.LOSS, (1,))
    assert (found.values["before"], found.values["now"]) == (1.0, 0.0)


@pytest.mark.parametrize(("days", "lost_from"), [(8, 5), (12, 11), (12, 10)], ids=["few days", "one", "two"])
def test_a_bad_day_or_two_is_no_loss(days: int, lost_from: int) -> None:
    day, turn, step = grid(days, 4)
    assert patterns_in_time.loss(made(day, turn, step, TOP, day < lost_from)) is None


@pytest.mark.parametrize("since", [3, 5, 9])
def test_a_loss_is_found_some_days_later_though_more_help_is_given_since(since: int) -> None:
    """Two days without help, then words, with which every third go is managed."""
    day, turn, step = grid(12 + since, 4)
    lost = day - 12
    offered = np.where(lost >= 2, WORDS, TOP)
    good = (lost < 0) & (turn + day > 0) | (offered == WORDS) & ((turn + day) % 3 == 0)
    found = patterns_in_time.loss(made(day, turn, step, offered, good))
    assert found is not None
    assert (found.values["since"], found.values["days"]) == (12, since)
    assert found.values["before"] == 1.0
    assert 0 < found.values["now"] < 0.4 or since == 3


def test_one_more_bad_spell_of_a_child_who_has_them_is_no_loss() -> None:
    """Three days of which half goes: the first such days, or the second after a week that went well."""
    day, turn, step = grid(24, 8)
    bad = day >= 21
    assert patterns_in_time.loss(made(day, turn, step, TOP, ~bad | (turn < 4))) is not None
    earlier = (day >= 8) & (day < 12)
    assert patterns_in_time.loss(made(day, turn, step, TOP, ~(bad | earlier) | (turn < 4))) is None


def test_help_given_without_need_is_no_loss() -> None:
    day, turn, step = grid(18, 4)
    offered = np.where(day >= 12, POINTING, TOP)
    assert patterns_in_time.loss(made(day, turn, step, offered, turn + day % 3 != 4)) is None


def test_what_goes_less_well_with_another_material_is_not_lost() -> None:
    day, turn, step = grid(16, 4)
    harder = day >= 11
    assert patterns_in_time.loss(made(day, turn, step, TOP, ~harder)) is not None
    assert patterns_in_time.loss(made(day, turn, step, TOP, ~harder, grade=harder.astype(int))) is None


def test_no_loss_of_what_never_went_well() -> None:
    day, turn, step = grid(12, 4)
    assert patterns_in_time.loss(made(day, turn, step, TOP, (day < 9) & (turn < 3))) is None


def test_a_loss_is_found_by_chance_no_more_often_than_said() -> None:
    day, turn, step = grid(12, 4, 3)
    finds = false_finds(
        lambda rng: made(day, turn, step, TOP, rng.random(len(day)) < 0.9), patterns_in_time.loss
    )
    assert not_above(finds, 0.001)


# --- material made easier unsaid


def sudden(days: int = 16, grade: ArrayLike = 0) -> Look:
    day, turn, step = grid(days, 4, 3)
    good = np.where(day < days - 5, turn < 1, turn < 4)
    return made(day, turn, step, WORDS, good, grade=grade)


def test_all_steps_rise_at_once() -> None:
    found = patterns_in_time.easier_unsaid(sudden())
    assert found is not None
    assert found.kind is PatternKind.EASIER_UNSAID
    assert 0.4 < found.values["gain"] < 0.75
    assert (found.values["since"], found.values["steps_risen"]) == (11, 3)
    assert found.p <= patterns_in_time.RISE_LEVEL


def test_days_that_swing_widely_are_no_easier_material() -> None:
    """Three days in eight go well and the others do not: some good days come one after another."""
    day, turn, step = grid(28, 4, 3)
    finds = false_finds(
        lambda rng: made(
            day, turn, step, WORDS, rng.random(len(day)) < np.where(rng.random(28) < 0.4, 0.9, 0.2)[day]
        ),
        patterns_in_time.easier_unsaid,
    )
    assert not_above(finds, patterns_in_time.RISE_LEVEL)


def test_steady_learning_is_no_easier_material() -> None:
    day, turn, step = grid(28, 4, 3)
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < expit(-2 + day * 0.15)),
        patterns_in_time.easier_unsaid,
    )
    assert not_above(finds, patterns_in_time.RISE_LEVEL)


def test_a_rise_is_found_though_help_lessens_at_the_same_time() -> None:
    """The help of a week is changed a day before the rise: no two spans of days have the same help."""
    rng = np.random.default_rng(6)
    day, turn, step = grid(21, 4, 4)
    offered = np.where(day < 15, POINTING, WORDS)
    places = -0.2 + 0.9 * (offered == POINTING) + 3.0 * (day >= 16) + 0.03 * day
    found = patterns_in_time.easier_unsaid(
        made(day, turn, step, offered, rng.random(len(day)) < expit(places))
    )
    assert found is not None
    assert abs(found.values["since"] - 16) <= 1


def test_a_change_of_grade_that_was_written_down_is_no_find() -> None:
    day, *_ = grid(16, 4, 3)
    assert patterns_in_time.easier_unsaid(sudden(grade=(day >= 11).astype(int))) is None


def test_one_step_alone_or_few_days_are_no_easier_material() -> None:
    day, turn, step = grid(16, 4, 3)
    one = made(day, turn, step, WORDS, np.where((step == 0) & (day >= 11), turn < 4, turn < 1))
    assert patterns_in_time.easier_unsaid(one) is None
    assert patterns_in_time.easier_unsaid(sudden(7)) is None


def test_a_sudden_rise_is_found_by_chance_no_more_often_than_said() -> None:
    day, turn, step = grid(20, 4, 3)
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < 0.5), patterns_in_time.easier_unsaid
    )
    assert not_above(finds, patterns_in_time.RISE_LEVEL)


# --- leaning on help


def test_leaning_on_help() -> None:
    day, turn, step = grid(10, 4, 2)
    offered = np.where(turn % 2, WORDS, TOP)
    good = (step == 1) | (offered == WORDS)
    found = patterns_of_help.leans_on_help(made(day, turn, step, offered, good))
    assert found is not None
    assert (found.kind, found.steps) == (PatternKind.LEANS_ON_HELP, (0,))
    assert (found.values["helped"], found.values["alone"]) == (1.0, 0.0)


def test_seven_goes_alone_cannot_show_leaning() -> None:
    day, turn, step = grid(7, 2)
    assert patterns_of_help.leans_on_help(made(day, turn, step, WORDS + turn, turn == 0)) is None


def test_a_gap_just_at_the_bar_is_called_leaning_no_more_often_than_said() -> None:
    day, turn, step = grid(15, 4)
    offered = np.where(turn % 2, WORDS, TOP)
    rate = np.where(offered == WORDS, 0.8, 0.5)
    finds = false_finds(
        lambda rng: made(day, turn, step, offered, rng.random(len(day)) < rate),
        patterns_of_help.leans_on_help,
    )
    assert not_above(finds, 0.01)


# --- a level without use, a level out of place


def words_offered(rng: np.random.Generator, pointing: float, words: float = 0.2, n: int = 60) -> Look:
    """Words offered; where they were not enough, pointing works with this chance, else showing does.

    The family marks the level that it took: pointing 3..3, showing 2..3 (more was needed than offered).
    """
    day, turn, step = grid(n // 4, 4)
    enough, helped = rng.random(len(day)) < words, rng.random(len(day)) < pointing
    lo = np.where(enough, WORDS, np.where(helped, POINTING, POINTING - 1))
    return made(day, turn, step, WORDS, enough, lo=lo, hi=np.where(enough, TOP, POINTING))


def test_a_level_without_use() -> None:
    rng = np.random.default_rng(5)
    found = patterns_of_help.level_without_use(words_offered(rng, 0.03))
    assert found is not None
    assert found.kind is PatternKind.LEVEL_WITHOUT_USE
    assert found.values["level"] == POINTING
    n, k = found.values["turns"], found.values["managed"]
    assert found.p == pytest.approx(stats.binom.cdf(k, n, 0.35), rel=1e-9)


def alone_by_a_careless_hand(rng: np.random.Generator, words: float, slip: float = 0.04) -> Look:
    """Alone is offered on a step that goes well; after a miss words are enough with this chance. So many of
    the goes alone are written one level down."""
    day, turn, step = grid(60, 8)
    alone = rng.random(len(day)) < 0.85
    reach = np.where(alone, TOP, np.where(rng.random(len(day)) < words, WORDS, POINTING))
    lo = reach - (alone & (rng.random(len(day)) < slip))
    return made(day, turn, step, TOP, lo == TOP, lo=lo, hi=np.where(lo == TOP, TOP, WORDS))


def test_words_without_use_are_found_though_goes_alone_are_written_as_words_by_slips() -> None:
    rng = np.random.default_rng(12)
    found = [patterns_of_help.level_without_use(alone_by_a_careless_hand(rng, 0.0)) for _ in range(20)]
    told = [each for each in found if each is not None]
    assert len(told) >= 18
    assert {each.values["level"] for each in told} == {WORDS}
    assert min(each.values["slips"] for each in told) >= 10


def test_slips_do_not_make_useful_words_useless() -> None:
    finds = false_finds(
        lambda rng: alone_by_a_careless_hand(rng, patterns_of_help.USEFUL), patterns_of_help.level_without_use
    )
    assert not_above(finds, patterns_of_help.USE_LEVEL)


def test_a_level_that_works_or_eleven_turns_are_no_find() -> None:
    rng = np.random.default_rng(5)
    assert patterns_of_help.level_without_use(words_offered(rng, 0.7)) is None
    day, turn, step = grid(11, 1)
    few = made(day, turn, step, WORDS, False, lo=POINTING - 1, hi=POINTING)
    assert patterns_of_help.level_without_use(few) is None


def test_a_level_just_of_use_is_called_useless_no_more_often_than_said() -> None:
    finds = false_finds(lambda rng: words_offered(rng, 0.35), patterns_of_help.level_without_use)
    assert not_above(finds, 0.005)


def switching(days: int = 16) -> tuple[NDArray[np.int64], ...]:
    day, turn, step = grid(days, 6)
    return day, turn, step, np.where((day // 2) % 2, WORDS, POINTING)


def test_a_level_out_of_place_proposes_another_order() -> None:
    day, turn, step, offered = switching()
    good = np.where(offered == WORDS, turn < 5, turn < 2)
    found = patterns_of_help.level_out_of_place(made(day, turn, step, offered, good))
    assert found is not None
    assert found.kind is PatternKind.LEVEL_OUT_OF_PLACE
    assert found.values["level"] == WORDS
    assert found.values["order"] == (0, 1, 2, WORDS, POINTING, TOP)
    assert found.values["less_help"] > found.values["more_help"]


def test_levels_in_place_or_few_goes_are_no_find() -> None:
    day, turn, step, offered = switching()
    right = np.where(offered == WORDS, turn < 2, turn < 5)
    assert patterns_of_help.level_out_of_place(made(day, turn, step, offered, right)) is None
    day, turn, step, offered = switching(4)
    few = turn < 3  # twelve goes in all, of which fewer than sixteen with either level
    wrong = made(day[few], turn[few], step[few], offered[few], offered[few] == WORDS)
    assert patterns_of_help.level_out_of_place(wrong) is None


def test_two_levels_alike_are_put_out_of_place_no_more_often_than_said() -> None:
    day, turn, step, offered = switching(24)
    finds = false_finds(
        lambda rng: made(day, turn, step, offered, rng.random(len(day)) < 0.6),
        patterns_of_help.level_out_of_place,
    )
    assert not_above(finds, patterns_of_help.PLACE_LEVEL)


# --- adults


def test_adults_differ_by_name_and_share() -> None:
    day, turn, step = grid(15, 4)
    adult = turn % 2
    found = patterns_of_help.adults_differ(
        made(day, turn, step, WORDS, (adult == 0) | (day % 4 == 0), adult=adult)
    )
    assert found is not None
    assert found.kind is PatternKind.ADULTS_DIFFER
    shares = dict(zip(found.values["adults"], found.values["shares"], strict=True))
    assert shares == {"M": 1.0, "D": pytest.approx(8 / 30)}


def test_who_offers_more_help_does_not_differ_for_that() -> None:
    day, turn, step = grid(20, 4)
    adult = (turn % 2 == 0) ^ (day % 10 == 0)
    offered = np.where(turn % 2, WORDS, POINTING)
    good = np.where(offered == WORDS, day % 2 == 0, day % 5 != 4)
    assert patterns_of_help.adults_differ(made(day, turn, step, offered, good, adult=adult)) is None


def test_eleven_marks_of_one_adult_are_too_few() -> None:
    day, turn, step = grid(11, 2)
    assert patterns_of_help.adults_differ(made(day, turn, step, WORDS, turn == 0, adult=turn)) is None


def test_adults_differ_by_chance_no_more_often_than_said() -> None:
    day, turn, step = grid(20, 4, 2)
    finds = false_finds(
        lambda rng: made(
            day, turn, step, WORDS, rng.random(len(day)) < 0.6, adult=rng.integers(0, 2, len(day))
        ),
        patterns_of_help.adults_differ,
    )
    assert not_above(finds, 0.002)


# --- reported ahead of observed


def reports(home_good: ArrayLike, seen_good: ArrayLike) -> Look:
    """Twenty days alone at home, twice a day, and a probe of two goes on every fifth day."""
    day, turn, step = grid(20, 4)
    source = np.where(turn < 2, HOME, PROBE)
    kept = (turn < 2) | (day % 5 == 4)
    good = np.where(source == HOME, home_good, seen_good)
    return made(day[kept], turn[kept], step[kept], TOP, good[kept], source=source[kept])


def test_reports_ahead_of_what_was_seen() -> None:
    seen = reports(True, False)
    found = patterns_of_help.reported_ahead(seen)
    assert found is not None
    assert (found.kind, found.steps) == (PatternKind.REPORTED_AHEAD, (0,))
    assert (found.values["reported_n"], found.values["observed"], found.values["observed_n"]) == (40, 0, 8)
    assert found.values["reported"] > 0.95
    assert found.values["gap"] == found.values["reported"]
    assert 0.2 < found.values["low"] < found.values["gap"] <= 1.0
    assert found.p <= patterns_of_help.REPORT_LEVEL
    gap = patterns_of_help.report_gap(seen)
    assert (gap.reported, gap.observed, gap.observed_n) == (1, 0, 8)
    assert gap.p == pytest.approx(stats.fisher_exact([[40, 0], [0, 8]], alternative="greater").pvalue)


def test_marks_with_help_tell_of_reports_ahead_though_alone_is_hardly_asked() -> None:
    """Two steps are practised with words and go well, alone they do not where a therapist looks; a third is
    asked alone and shows how little words do. Plain shares alone have nothing to compare on the first two."""
    rng = np.random.default_rng(8)
    day, turn, step = grid(35, 4, 3)
    looked = (day % 7 == 6) & (turn == 0)
    offered = np.where(looked | (step == 2) & (turn % 2 == 0), TOP, WORDS)
    rate = np.where(looked, 0.15, np.where(offered == TOP, 0.75, 0.85))
    seen = made(day, turn, step, offered, rng.random(len(day)) < rate, source=np.where(looked, PROBE, HOME))
    found = patterns_of_help.reported_ahead(seen)
    assert found is not None
    assert found.steps == (0, 1, 2)
    assert found.values["observed_n"] == 15


def test_a_child_whom_help_takes_all_the_way_is_not_reported_ahead() -> None:
    """With words the first step goes always and alone never, at home and where it is watched; the second has
    been learnt and goes either way, watched no less than at home. One effect of words for both has it that
    the first should go alone: goes alone say otherwise."""
    rng = np.random.default_rng(10)
    day, turn, step = grid(35, 4, 2)
    looked = (day % 7 == 3) & (turn == 0)
    offered = np.where(looked | (step == 1) & (turn % 2 == 0), TOP, WORDS)
    rate = np.where((step == 0) & (offered == TOP), 0.05, np.where(looked, 1.0, 0.92))
    seen = made(day, turn, step, offered, rng.random(len(day)) < rate, source=np.where(looked, PROBE, HOME))
    assert patterns_of_help.reported_ahead(seen) is None


def test_a_child_who_warms_up_is_not_reported_ahead() -> None:
    """A look is a first turn: first turns at home go as badly."""
    rng = np.random.default_rng(9)
    finds = 0
    for _ in range(40):
        day, turn, step = grid(35, 4, 3)
        looked = (day % 7 == 3) & (turn == 0)
        good = rng.random(len(day)) < np.where(turn == 0, 0.3, 0.9)
        seen = made(day, turn, step, TOP, good, source=np.where(looked, PROBE, HOME))
        finds += patterns_of_help.reported_ahead(seen) is not None
    assert finds <= 1


def test_reports_behind_or_alike_are_no_find() -> None:
    assert patterns_of_help.reported_ahead(reports(False, True)) is None
    assert patterns_of_help.reported_ahead(reports(True, True)) is None


def test_without_enough_probes_the_gap_is_refused_with_both_numbers() -> None:
    day, turn, step = grid(12, 2)
    source = np.where((day >= 9) & (turn == 1), PROBE, HOME)
    seen = made(day, turn, step, TOP, source == HOME, source=source)
    assert patterns_of_help.reported_ahead(seen) is None
    with pytest.raises(NotEnoughData) as caught:
        patterns_of_help.report_gap(seen)
    assert (caught.value.n, caught.value.needed) == (3, 4)


def test_honest_reports_run_ahead_by_chance_no_more_often_than_said() -> None:
    def honest(rng: np.random.Generator) -> Look:
        return reports(rng.random(80) < 0.6, rng.random(80) < 0.6)

    assert not_above(false_finds(honest, patterns_of_help.reported_ahead), 0.01)


# --- steps that belong together


def test_two_steps_that_go_together() -> None:
    day, turn, step = grid(10, 4, 3)
    good = np.where(step == 0, turn % 2 == 0, (day + turn) % 4 < 2)
    found = patterns_of_steps.steps_together(made(day, turn, step, WORDS, good))
    assert found is not None
    assert (found.kind, found.steps) == (PatternKind.STEPS_TOGETHER, (1, 2))
    assert (found.values["agree"], found.values["turns"]) == (1.0, 40)


def test_fifteen_turns_or_steps_that_hardly_vary_are_no_find() -> None:
    day, turn, step = grid(5, 3, 2)
    assert patterns_of_steps.steps_together(made(day, turn, step, WORDS, turn == 0)) is None
    day, turn, step = grid(10, 4, 2)
    assert patterns_of_steps.steps_together(made(day, turn, step, WORDS, day > 0)) is None


def test_steps_go_together_by_chance_no_more_often_than_said() -> None:
    day, turn, step = grid(10, 4, 4)
    finds = false_finds(
        lambda rng: made(day, turn, step, WORDS, rng.random(len(day)) < 0.5),
        patterns_of_steps.steps_together,
    )
    assert not_above(finds, 0.0005)


# --- those that rest on belief: swings, a step to split


def believed(
    n_steps: int, days: int, turns: int, good: Callable[[int, int, int], bool], level: int = WORDS
) -> Look:
    """A look at a tracker that recorded such a log."""
    tracker = SkillTracker(n_steps)
    for day in range(days):
        for turn in range(turns):
            tracker.record(day, [_mark(k, level, good(day, turn, k)) for k in range(n_steps)])
    return look(unpacked(tracker.state.recent), outlook(tracker.state, days), tracker.state.names[0])


def _mark(step: int, level: int, good: bool) -> Mark:
    return Mark(step, level, Status.DONE, *((level, TOP) if good else (0, level - 1)))


def test_good_days_and_bad_days_are_swings() -> None:
    found = patterns_in_time.swings(believed(3, 24, 4, lambda day, turn, step: day % 2 == 0))
    assert found is not None
    assert found.kind is PatternKind.SWINGS
    assert (found.values["best"], found.values["worst"], found.values["days"]) == (1.0, 0.0, 24)
    assert found.p <= 0.05


def test_days_that_all_go_well_are_no_swings_whatever_is_believed() -> None:
    well = believed(20, 10, 4, lambda day, turn, step: True)
    assert patterns_in_time.swings(well, sure=0.0) is None


def test_even_days_or_nine_days_are_no_swings() -> None:
    even = believed(3, 24, 4, lambda day, turn, step: (turn + step) % 4 != 0)
    assert patterns_in_time.swings(even) is None
    assert patterns_in_time.swings(believed(3, 9, 4, lambda day, turn, step: day % 2 == 0)) is None


def test_one_step_stays_hard_while_the_others_are_learnt() -> None:
    found = patterns_of_steps.step_to_split(
        believed(3, 15, 4, lambda day, turn, step: step != 1 or turn + day % 4 == 0, TOP)
    )
    assert found is not None
    assert (found.kind, found.steps) == (PatternKind.STEP_TO_SPLIT, (1,))
    assert found.values["marks"] == 60
    assert found.values["chance"] < found.values["high"] < 0.5 < 0.75 <= found.values["others"]


def test_no_step_to_split_where_all_are_hard_all_go_or_marks_are_few() -> None:
    hard = believed(3, 15, 4, lambda day, turn, step: turn == 0, TOP)
    easy = believed(3, 15, 4, lambda day, turn, step: True, TOP)
    few = believed(3, 9, 4, lambda day, turn, step: step != 1, TOP)
    assert [patterns_of_steps.step_to_split(each) for each in (hard, easy, few)] == [None] * 3


def test_nothing_is_found_in_an_empty_log() -> None:
    nothing = np.zeros(0, dtype=np.int64)
    assert find_patterns(made(nothing, nothing, nothing, nothing, nothing.astype(bool))) == ()
