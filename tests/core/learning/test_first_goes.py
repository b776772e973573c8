"""The first go of a day says most; later ones follow its practice (common practice, no source)."""

from __future__ import annotations

from bylittle.core.learning.tracker import Settings, begin, enter
from bylittle.core.practice.marks import Mark, Source, Status

TOP = 5


def go(managed: bool, source: Source = Source.HOME) -> Mark:
    lo, hi = (TOP, TOP) if managed else (0, TOP - 1)
    return Mark(0, TOP, Status.DONE, lo, hi, source=source)


def days_alone(*days: tuple[Mark, ...]) -> tuple[int, ...]:
    state = begin(Settings(1))
    for day, goes in enumerate(days):
        for mark in goes:
            state, _ = enter(state, day, [mark])
    return state.alone_days[0]


def test_a_day_counts_by_its_first_go() -> None:
    assert days_alone((go(True), go(False)), (go(False), go(True)), (go(True),)) == (0, 2)


def test_a_look_of_the_therapist_counts_whenever_it_comes() -> None:
    assert days_alone((go(False), go(True, Source.PROBE))) == (0,)
