"""Who writes what down: adults, their slips of the pen, days missed, turns not written.

A slip puts the reach one level up or down. An adult who over-reports writes more independence than there
was; one who misreads the scale writes less. `recorded` gives the chance that the family's next mark says
*managed*, slips and adults included: what a forecast of marks can at best know.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from benchmarks.children.child import Curve
from bylittle.core.practice.marks import Mark, Source, Status

PROBE_SLIP = 0.02


@dataclass(frozen=True, slots=True)
class Adult:
    """`up`, `down`: chance to write one level more or less independence than there was; `wish`: to write
    *alone* whatever happened."""

    name: str
    up: float
    down: float
    share: float
    wish: float = 0.0

    def write(self, reach: int, top: int, luck: float) -> int:
        """The level this adult believes was needed."""
        if luck < self.up:
            return min(top, reach + 1)
        if luck < self.up + self.down:
            return max(0, reach - 1)
        return top if luck > 1 - self.wish else reach


def even(name: str, share: float = 0.5, slip: float = 0.08) -> Adult:
    """An adult who slips both ways alike."""
    return Adult(name, slip / 2, slip / 2, share)


@dataclass(frozen=True, slots=True)
class Family:
    """The adults of one child, and how they use the log. `writes_level`: a miss is written with the
    level that worked, else as *not managed*."""

    adults: tuple[Adult, ...]
    writes_level: bool = True
    missed_days: float = 0.25
    turns: tuple[int, int] = (4, 5)

    def who(self, luck: float) -> Adult:
        """The adult of this turn."""
        for adult in self.adults[:-1]:
            if luck < adult.share:
                return adult
            luck -= adult.share
        return self.adults[-1]

    def recorded(self, curve: Curve, level: int) -> float:
        """Chance that the next mark with `level` says managed, for the true `curve`."""
        return sum(
            a.share * (blurred(curve, level, a.up, a.down) + a.wish * (1 - curve[level])) for a in self.adults
        )


def blurred(curve: Curve, level: int, up: float, down: float) -> float:
    """P(written reach >= level) for P(N >= l) = curve[l] and slips of one level."""
    if level == 0:
        return 1.0
    above = curve[level + 1] if level + 1 < len(curve) else 0.0
    return (1 - up - down) * curve[level] + up * curve[level - 1] + down * above


def home_mark(
    family: Family, adult: Adult, step: int, offered: int, reach: int, top: int, luck: float
) -> Mark:
    """The mark of a fixed offer; nothing is written below the fullest help."""
    written = adult.write(reach, top, luck)
    if written >= offered:
        return Mark(step, offered, Status.DONE, offered, top, adult=adult.name)
    low = written if family.writes_level else 0
    return Mark(step, offered, Status.DONE, low, offered - 1, adult=adult.name)


def ladder_mark(adult: Adult, step: int, reach: int, top: int, luck: float) -> Mark:
    """The mark of a step done least-to-most: exactly the level that worked."""
    written = adult.write(reach, top, luck)
    return Mark(step, top, Status.DONE, written, written, ladder=True, adult=adult.name)


def silent_mark(step: int, status: Status, top: int, offered: int = -1, adult: str = "") -> Mark:
    """Done by adult, stopped or missing: no evidence about skill."""
    return Mark(step, offered, status, -1, top, adult=adult)


def probe_mark(step: int, reach: int, top: int, rng: np.random.Generator, source: Source) -> Mark:
    """A therapist's look: once from alone, no help."""
    written = Adult("T", PROBE_SLIP / 2, PROBE_SLIP / 2, 1.0).write(reach, top, float(rng.random()))
    low, high = (top, top) if written >= top else (0, top - 1)
    return Mark(step, top, Status.DONE, low, high, source=source, adult="T")
