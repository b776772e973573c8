"""Proposals of a small experiment: only where the answer matters, one at a time, with what it would take."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike

from bylittle.core.advice.adviser import find_patterns
from bylittle.core.advice.facts import DONE
from bylittle.core.advice.patterns import PROPOSALS, Look, Pattern, PatternKind, look
from bylittle.core.advice.patterns_of_help import PLACE_MARKS
from bylittle.core.advice.patterns_to_ask import MISSES, a_small_experiment
from bylittle.core.learning.forecast import outlook
from bylittle.core.learning.history import FIELDS, Rows
from bylittle.core.learning.tracker import Settings, begin

TOP, WORDS, POINTING, SHOWING = 5, 4, 3, 2
DAYS, TURNS = 18, 4


def log(offered: ArrayLike, good: ArrayLike, named: ArrayLike = True, days: int = DAYS) -> Look:
    """One step on so many days, four turns a day; a miss takes the next help, which may be `named`."""
    goes = np.arange(days * TURNS)
    offered, good, named = np.broadcast_arrays(offered, good, named)
    columns = np.zeros((len(goes), len(FIELDS)), dtype=np.int64)
    lo = np.where(good, offered, np.where(named, offered - 1, 0))
    told = {"offered": offered, "status": DONE, "lo": lo, "hi": np.where(good, TOP, offered - 1)}
    for name, values in told.items():
        columns[:, FIELDS.index(name)] = values
    rows = Rows(goes // TURNS, goes, goes % TURNS, columns)
    return look(rows, outlook(begin(Settings(1, TOP + 1)), days), ("M",))


GOES = np.arange(DAYS * TURNS)


@pytest.mark.parametrize(("asked", "level"), [(POINTING, WORDS), (WORDS, POINTING), (1, SHOWING)])
def test_a_neighbour_hardly_ever_offered_is_to_be_tried(asked: int, level: int) -> None:
    found = a_small_experiment(log(np.where(GOES < 2, level, asked), GOES % 4 > 0))
    assert found is not None
    assert (found.kind, found.steps, found.p) == (PatternKind.LEVEL_TO_TRY, (0,), 1.0)
    assert (found.values["level"], found.values["proposed"]) == (level, asked)
    assert found.values["goes"] == 2
    assert found.values["goes"] + found.values["turns"] == found.values["bar"] == PLACE_MARKS


def test_with_the_goes_it_asked_for_the_proposal_goes_away() -> None:
    offered = np.where(GOES < 2, WORDS, POINTING)
    found = a_small_experiment(log(offered, GOES % 4 > 0))
    assert found is not None
    tried = np.where((GOES >= 40) & (40 + 2 * found.values["turns"] > GOES) & (GOES % 2 == 0), WORDS, offered)
    rest = a_small_experiment(log(np.where(GOES < 20, SHOWING, tried), GOES % 4 > 0))
    assert rest is None


@pytest.mark.parametrize("days", [14, 7])
def test_nothing_is_proposed_while_the_log_is_young(days: int) -> None:
    assert a_small_experiment(log(POINTING, np.ones(days * TURNS, dtype=bool), days=days)) is None


def test_nothing_is_proposed_where_alone_is_asked() -> None:
    assert a_small_experiment(log(TOP, GOES % 4 > 0)) is None


def misses(named: ArrayLike, good: ArrayLike = GOES % 2 == 0) -> Pattern | None:
    """All three levels were tried enough, so that only the names of help can be asked for."""
    return a_small_experiment(log(np.array([SHOWING, POINTING, WORDS])[GOES % 3], good, named))


def test_misses_without_a_name_ask_for_it() -> None:
    found = misses(False)
    assert found is not None
    assert (found.kind, found.values["misses"], found.values["named"]) == (PatternKind.HELP_TO_WRITE, 36, 0)


def test_named_misses_few_misses_and_help_that_is_enough_ask_for_nothing() -> None:
    assert misses(True) is None
    assert misses(GOES % 4 == 1) is None
    assert misses(False, GOES % 9 > 0) is None
    assert (GOES % 9 == 0).sum() < MISSES


def test_there_is_one_proposal_at_most() -> None:
    """Both could be asked: the level comes first."""
    both = find_patterns(log(np.where(GOES < 2, WORDS, POINTING), GOES % 2 > 0, named=False))
    assert [each.kind for each in both if each.kind in PROPOSALS] == [PatternKind.LEVEL_TO_TRY]
