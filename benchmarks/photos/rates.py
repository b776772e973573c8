"""How often a kind of photograph is read right, asked about, refused or silently read wrong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator

from benchmarks.photos import ink
from benchmarks.photos.camera import Shot, photograph
from benchmarks.photos.scene import Scene, a_scene
from bylittle.core.sheet.ink import Ink
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.upload import read_upload

ODD = 0.12  # share of marks that are unclear or taken back


@dataclass(slots=True)
class Rates:
    """Counts over the photographs of one kind; bubbles are the blank ones and the clear marks."""

    photos: int = 0
    refused: int = 0
    wrong_sheet: int = 0
    bubbles: int = 0
    false_marks: int = 0
    misses: int = 0
    doubtful: int = 0
    taken_back: int = 0
    taken_back_marked: int = 0
    doubtful_by_mark: Counter[str] = field(default_factory=Counter)
    by_mark: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def add(self, name: str, scene: Scene, outcome: Reading | NotRead) -> None:
        """Count one photograph of `scene`."""
        self.photos += 1
        if isinstance(outcome, NotRead):
            self.refused += 1
            self.refusals[outcome.refusal.code] += 1
            return
        if outcome.page.sheet != scene.sheet:
            self.wrong_sheet += 1
            self.wrong.append(f"{name} read as {outcome.page.sheet}")
            return
        for seen in outcome.page.bubbles:
            self._add_bubble(name, seen.bubble.id, scene.drawn.get(seen.bubble.id, "blank"), seen.state)

    def _add_bubble(self, name: str, bubble: str, drawn: str, state: Ink) -> None:
        self.by_mark[drawn] += 1
        self.doubtful_by_mark[drawn] += state is Ink.DOUBTFUL
        if drawn in ink.TAKEN_BACK:
            self.taken_back += 1
            self.taken_back_marked += state is Ink.MARKED
        if drawn != "blank" and drawn not in ink.CLEAR:
            return
        self.bubbles += 1
        self.doubtful += state is Ink.DOUBTFUL
        false_mark = drawn == "blank" and state is Ink.MARKED
        miss = drawn != "blank" and state is Ink.BLANK
        self.false_marks += false_mark
        self.misses += miss
        if false_mark or miss:
            self.wrong.append(f"{name} {bubble} {drawn} read as {state}")

    def join(self, other: Rates) -> None:
        """Take the counts of another run in."""
        for name in self.__slots__:
            mine, theirs = getattr(self, name), getattr(other, name)
            if isinstance(mine, Counter):
                mine.update(theirs)
            else:
                setattr(self, name, mine + theirs)

    def line(self, name: str) -> str:
        """One row of the table."""
        read = max(1, self.bubbles)
        return (
            f"{name:<20}{self.photos:>7}{100 * self.refused / max(1, self.photos):>9.1f}{self.bubbles:>10}"
            f"{self.false_marks:>7}{self.misses:>7}{1e5 * (self.false_marks + self.misses) / read:>9.1f}"
            f"{100 * self.doubtful / read:>9.2f}"
            f"{100 * self.taken_back_marked / max(1, self.taken_back):>9.1f}{self.wrong_sheet:>7}"
        )


HEAD = (
    f"{'':<20}{'photos':>7}{'refused%':>9}{'bubbles':>10}{'false':>7}{'miss':>7}{'per100k':>9}"
    f"{'doubt%':>9}{'undone%':>9}{'wrong':>7}"
)


def rates(name: str, shoot: Callable[[Generator], Shot], seeds: Iterable[int]) -> Rates:
    """Photographs of one kind, each with a scene and a draw of its own, read and counted."""
    counted = Rates()
    for seed in seeds:
        rng = np.random.default_rng([seed, sum(name.encode())])
        scene = a_scene(rng, odd=ODD)
        data = photograph(scene.page, scene.scale, shoot(rng), rng)
        for result in read_upload(f"{name}-{seed}", data):
            counted.add(result.photo, scene, result.outcome)
    return counted
