"""Patterns in time: plateau, loss, swings, stops rising, a sudden rise, warming up and tiring."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, bdtrc, expit, ndtr, ndtri

from bylittle.core.advice import patterns_by_help as by_help
from bylittle.core.advice.facts import DONE, PROBES, Stops
from bylittle.core.advice.patterns import (
    LEVEL,
    Look,
    Pattern,
    PatternKind,
    fisher_greater,
    last_days,
    managed,
)
from bylittle.core.learning.history import Rows

LATE_DAYS, EARLY_DAYS = 7, 21
FLAT_SPANS, FLAT_MARKS, FLAT_GAIN, FLAT_LEVEL = (24, 18), 40, 0.20, 0.05
LOSS_LEVEL, LOSS_DAYS, LOSS_BACK, LOSS_BEFORE, LOSS_ALONE = 0.001, 3, 10, 7, 5
ONCE_GOOD, LOSS_SIZE, LOSS_SPREAD, LEAST_P = 0.85, 0.2, 21, 1e-300
RISE_LEVEL, RISE_SIZE, RISE_BACK, RISE_BEFORE, RISE_AFTER, RISE_LATEST = 0.02, 0.08, 35, 6, 3, 10
RISE_STEPS, RISE_GOES = 3, 4
SWING_AT, SWING_SURE, SWING_DAYS, SWING_SIZE = 0.75, 0.95, 10, 0.1


def stops_rising(stops: Stops, level: float = LEVEL) -> Pattern | None:
    """More turns end in a stop on the last seven practice days than on the days before.

    Fisher's exact test, one-sided (Fisher 1922), on turns with and without a stop: false with chance `level`.
    """
    n = min(len(stops.days), LATE_DAYS + EARLY_DAYS)
    if n < 2 * LATE_DAYS - 1:
        return None
    late_stops, late = sum(stops.stops[-LATE_DAYS:]), sum(stops.turns[-LATE_DAYS:])
    early_stops, early = sum(stops.stops[-n:-LATE_DAYS]), sum(stops.turns[-n:-LATE_DAYS])
    if late_stops * early <= early_stops * late:
        return None
    p = fisher_greater(late_stops, late - late_stops, early_stops, early - early_stops)
    if p > level:
        return None
    values = {"late": late_stops, "late_turns": late, "early": early_stops, "early_turns": early, "days": n}
    return Pattern(PatternKind.STOPS_RISING, (), p, {**values, "level": level})


def warms_up_or_tires(seen: Look, level: float = LEVEL) -> Pattern | None:
    """The day's first turn differs from its later ones: a sign test over days, two-sided."""
    rows = seen.practice
    if not len(rows):
        return None
    _, day = np.unique(rows.day, return_inverse=True)
    good, first = managed(rows).astype(float), rows.turn_of_day == 0
    n_first, n_rest = np.bincount(day, first), np.bincount(day, ~first)
    both = (n_first > 0) & (n_rest > 0)
    rates = np.bincount(day, good * first)[both] / n_first[both]
    signs = np.sign(rates - np.bincount(day, good * ~first)[both] / n_rest[both])
    n, lower = int((signs != 0).sum()), int((signs < 0).sum())
    if n < 8:
        return None
    p = min(1.0, float(min(bdtrc(lower - 1, n, 0.5) if lower else 1.0, bdtr(lower, n, 0.5)) * 2))
    if p > level:
        return None
    values = {"days": n, "first_lower": lower, "first_better": n - lower, "level": level}
    return Pattern(PatternKind.WARMS_UP if lower > n / 2 else PatternKind.TIRES, (), p, values)


def plateau(seen: Look, level: float = FLAT_LEVEL) -> Pattern | None:
    """A step gains little with the same help over its last practice days.

    Found where a gain of `FLAT_GAIN` or more from the first to the second half is refuted, and the second
    half is no better at all, over the longest of `FLAT_SPANS` practice days through which help has been the
    same. `level` is shared among the steps (Bonferroni).
    """
    tried = np.unique(seen.practice.step)
    found = [(_flat(seen, int(step)), int(step)) for step in tried]
    flat = [(p * len(tried), days, step) for (p, days), step in found if p * len(tried) <= level]
    if not flat:
        return None
    values = {"days": min(days for _, days, _ in flat), "gain": FLAT_GAIN, "level": level}
    steps = tuple(step for _, _, step in flat)
    return Pattern(PatternKind.PLATEAU, steps, max(p for p, _, _ in flat), values)


def _flat(seen: Look, step: int) -> tuple[float, int]:
    """Chance of so little a rise if there were a gain, and the practice days looked at."""
    rows = seen.practice.where(seen.practice.step == step)
    if seen.practice.day.max() - rows.day.max() > 7:
        return 1.0, FLAT_SPANS[-1]
    for n_days in FLAT_SPANS:
        same = _same_help(rows, n_days)
        if len(same) >= FLAT_MARKS:
            return _little_gained(same, int(same.offered[-1]) == seen.top), n_days
    return 1.0, FLAT_SPANS[-1]


def _same_help(rows: Rows, n_days: int) -> Rows:
    """Marks of the last so many practice days with the help of now; none where help changed meanwhile."""
    days = np.unique(rows.day)[-n_days:]
    rows = rows.where(rows.day >= days[0])
    same = rows.where(rows.offered == int(np.bincount(rows.offered[-5:]).argmax()))
    enough = len(days) == n_days and len(same) >= 0.9 * len(rows)
    return same if enough else rows.where(np.zeros(len(rows), dtype=bool))


def _little_gained(rows: Rows, alone: bool) -> float:
    days, day = np.unique(rows.day, return_inverse=True)
    early, early_variance = _share(rows, day, day < len(days) // 2)
    late, late_variance = _share(rows, day, day >= len(days) // 2)
    if late > 0.9 or (alone and late > 0.75):
        return 1.0  # little is left to gain here
    if late > early:
        return 1.0  # a small rise is no plateau
    return float(ndtr((late - early - FLAT_GAIN) / np.sqrt(early_variance + late_variance)))


def _share(rows: Rows, day: NDArray[np.intp], half: NDArray[np.bool_]) -> tuple[float, float]:
    """Share managed, and its variance: that of single goes, one success and one miss added so that none is
    ever sure, or that of days with a luck of their own, whichever is larger."""
    _, day = np.unique(day[half], return_inverse=True)
    goes, good = np.bincount(day), np.bincount(day, managed(rows)[half])
    n, smooth = goes.sum(), (good.sum() + 1) / (goes.sum() + 2)
    of_days = ((good - goes * smooth) ** 2).sum() / n**2 * len(goes) / max(len(goes) - 1, 1)
    return float(good.sum() / n), float(max(smooth * (1 - smooth) / (n + 2), of_days))


def loss(seen: Look, level: float = LOSS_LEVEL) -> Pattern | None:
    """Steps that went well alone go clearly less well since some day, whatever help they get now.

    Fisher's exact test, one-sided: goes managed since that day against goes alone on the days before. More
    help never makes a go less likely to be managed, so without a loss the later share would be no smaller,
    though advice has answered with more help. Each of the first three days must be worse than the days
    before were on the whole, so that a bad day or two is no find. Tried for each of the days on which it may
    have begun, a step at a time and once for all that went well: `level` is shared among them.
    """
    rows = _with_material_of_now(seen.rows.where((seen.rows.status == DONE) & (seen.rows.offered > 0)))
    days, day = np.unique(rows.day, return_inverse=True)
    begins = range(LOSS_DAYS, min(LOSS_BACK, len(days) - LOSS_BEFORE) + 1)
    if not begins:
        return None
    steps, step = np.unique(rows.step, return_inverse=True)
    goes = _Goes(*(_count(step, day, each) for each in _told(rows, seen.top)))
    falls = [fall for back in begins for fall in _falls(goes, back)]
    shared = len(begins) * (len(steps) + 1)
    likely = [(p * shared, back, which) for p, back, which in falls if p * shared <= level]
    if not likely:
        return None
    p, back, which = min(likely)
    before, now = goes.shares(np.isin(np.arange(len(steps)), which), back)
    values = {"before": before, "now": now, "since": int(days[-back]), "days": back, "level": level}
    return Pattern(PatternKind.LOSS, tuple(int(steps[k]) for k in which), p, values)


def _with_material_of_now(rows: Rows) -> Rows:
    if not len(rows):
        return rows
    practised, now = ~np.isin(rows.source, PROBES), np.full(int(rows.step.max()) + 1, -1)
    now[rows.step[practised]] = rows.grade[practised]
    return rows.where(~practised | (rows.grade == now[rows.step]))


def _told(rows: Rows, top: int) -> tuple[NDArray[np.bool_], ...]:
    alone, good = rows.offered == top, managed(rows)
    return alone, alone & good, np.ones(len(rows), dtype=bool), good


def _count(step: NDArray[np.intp], day: NDArray[np.intp], which: NDArray[np.bool_]) -> NDArray[np.float64]:
    shape = (int(step.max()) + 1, int(day.max()) + 1)
    counts = np.bincount(step * shape[1] + day, which.astype(float), shape[0] * shape[1])
    return counts.reshape(shape).astype(float)


@dataclass(frozen=True, slots=True)
class _Goes:
    """Goes alone and goes with any help, and how many of each were managed [step, day]."""

    alone: NDArray[np.float64]
    alone_good: NDArray[np.float64]
    goes: NDArray[np.float64]
    good: NDArray[np.float64]

    def table(self, steps: NDArray[np.bool_], back: int) -> tuple[int, int, int, int]:
        """Managed and missed alone before the last `back` days, managed and missed since."""
        before, since = slice(-back - LOSS_BEFORE, -back), slice(-back, None)
        k, n = self.alone_good[steps, before].sum(), self.alone[steps, before].sum()
        later, tried = self.good[steps, since].sum(), self.goes[steps, since].sum()
        return int(k), int(n - k), int(later), int(tried - later)

    def shares(self, steps: NDArray[np.bool_], back: int) -> tuple[float, float]:
        """Share managed alone before, and with what help there was since."""
        k, missed, later, missed_later = self.table(steps, back)
        return k / max(k + missed, 1), later / max(later + missed_later, 1)

    def unlike_days(self, steps: NDArray[np.bool_], back: int) -> float:
        """How much more the days before differed, alone, than goes would; 1 at least."""
        end = self.alone.shape[1] - back
        span = slice(max(0, end - LOSS_SPREAD), end)
        n, k = self.alone[steps, span].sum(axis=0), self.alone_good[steps, span].sum(axis=0)
        n, k = n[n > 0], k[n > 0]
        share = (k.sum() + 1) / (n.sum() + 2)
        spread = ((k - n * share) ** 2).sum() / (n.sum() * share * (1 - share))
        return max(1.0, float(spread) * len(n) / max(len(n) - 1, 1))


def _falls(goes: _Goes, back: int) -> list[tuple[float, int, tuple[int, ...]]]:
    """Chance without a loss that began `back` days ago, for each step that went well, and for all of them."""
    before, since = slice(-back - LOSS_BEFORE, -back), slice(-back, None)
    n, k = goes.alone[:, before].sum(axis=1), goes.alone_good[:, before].sum(axis=1)
    later = goes.good[:, since].sum(axis=1) / np.maximum(goes.goes[:, since].sum(axis=1), 1)
    seen = (goes.alone[:, before] > 0).sum(axis=1) >= LOSS_ALONE
    well = seen & (k >= ONCE_GOOD * n)
    fallen = np.flatnonzero(well & (k - later * n >= LOSS_SIZE * n)).tolist()
    if not fallen:
        return []
    all_well = [tuple(np.flatnonzero(well).tolist())] if well.sum() > 1 else []
    found = []
    for which in [(step,) for step in fallen] + all_well:
        mask = np.isin(np.arange(len(n)), which)
        was, now = goes.shares(mask, back)
        if was - now >= LOSS_SIZE and _each_worse(goes, mask, back, was):
            p = fisher_greater(*goes.table(mask, back))
            found.append((_widened(p, goes.unlike_days(mask, back)), back, which))
    return found


def _widened(p: float, times: float) -> float:
    """The same distance in a normal with so many times the variance."""
    return float(ndtr(ndtri(max(p, LEAST_P)) / np.sqrt(times)))


def _each_worse(goes: _Goes, steps: NDArray[np.bool_], back: int, was: float) -> bool:
    good, tried = goes.good[steps, -back:].sum(axis=0), goes.goes[steps, -back:].sum(axis=0)
    each = good[tried > 0] / tried[tried > 0]
    return len(each) >= LOSS_DAYS and bool(each[:LOSS_DAYS].max() < was)


def swings(seen: Look, sure: float = SWING_SURE) -> Pattern | None:
    """Days differ more than turns would: belief that the day effect's spread is large.

    `p` is what remains of belief in a smaller spread; no more than that share of finds should be false.
    """
    days, day = np.unique(seen.practice.day, return_inverse=True)
    if len(days) < SWING_DAYS:
        return None
    shares = seen.view.mass.sum(axis=(0, 2)) / len(seen.view.mass)
    spreads = np.array([shape.spread for shape in seen.view.settings.bank.shapes])
    large = float(shares[spreads >= SWING_AT].sum())
    if large < sure:
        return None
    rates = np.sort(np.bincount(day, managed(seen.practice)) / np.bincount(day))
    quarter = max(1, len(rates) // 4)
    values = {"best": float(rates[-quarter:].mean()), "worst": float(rates[:quarter].mean())}
    if values["best"] - values["worst"] < SWING_SIZE:
        return None  # belief may stay wide where every day went well: that is no swing to tell of
    return Pattern(PatternKind.SWINGS, (), 1 - large, {**values, "days": len(days), "level": 1 - sure})


def easier_unsaid(seen: Look, level: float = RISE_LEVEL) -> Pattern | None:
    """On one of the last days all steps became easier at once, more than they were being learnt.

    Score test for a common rise in a fit that sets steps, days and help apart (`patterns_by_help`), tried for
    each of the last practice days: `level` is shared among them (Bonferroni). A change of grade that was
    written down is no find, nor is a rise of one step or two.
    """
    rows = last_days(seen.practice, RISE_BACK)
    days = np.unique(rows.day)
    begins = days[max(RISE_BEFORE, len(days) - RISE_LATEST) : len(days) - RISE_AFTER + 1]
    if not len(begins) or len(np.unique(rows.grade[rows.day >= days[-RISE_LATEST:][0]])) > 1:
        return None
    told = by_help.table(rows, rows.offered - 1, by_help.by_level(seen.top), period=1)
    if len(told.goes) < RISE_STEPS:
        return None
    fit = by_help.fitted(told)
    sure, sizes = by_help.rises(told, fit, begins - rows.day.min())
    at = int(sure.argmax())
    p = min(1.0, float(ndtr(-sure[at])) * len(begins))
    if p > level:
        return None
    begin = int(begins[at])
    rising, gain = _risen(told, fit, begin - int(rows.day.min()), float(sizes[at]))
    if gain < RISE_SIZE or rising < RISE_STEPS:
        return None
    values = {"gain": gain, "since": begin, "steps_risen": rising, "level": level}
    return Pattern(PatternKind.EASIER_UNSAID, (), p, values)


def _risen(told: by_help.Table, fit: by_help.Fit, begin: int, size: float) -> tuple[int, float]:
    """How many steps rose, where three of four of those practised did, else 0; and the rise as a share."""
    places = fit.skills[:, :, None] + told.design @ fit.effects
    goes = told.goes[:, begin:]
    above = (told.good[:, begin:] - goes * expit(places[:, begin:])).sum(axis=(1, 2))
    practised = goes.sum(axis=(1, 2)) >= RISE_GOES
    rising, tried = int((practised & (above > 0)).sum()), int(practised.sum())
    each = expit(places[:, begin:] + size / 2) - expit(places[:, begin:] - size / 2)
    return rising if rising >= 0.75 * tried else 0, float((goes * each).sum() / goes.sum())
