"""Patterns of help and of those who help: leaning, levels without use or out of place, adults, reports."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, ndtr

from bylittle.core.advice import patterns_by_help as by_help
from bylittle.core.advice.facts import DONE, OBSERVED
from bylittle.core.advice.patterns import (
    Look,
    Pattern,
    PatternKind,
    fisher_greater,
    last_days,
    managed,
)
from bylittle.core.faults import NotEnoughData
from bylittle.core.learning.history import MOST_NAMES, Rows

LEAN_GAP, LEAN_MARKS, LEAN_LEVEL = 0.30, 8, 0.02
USEFUL, USE_LEVEL, USE_TURNS, MOST_SLIPS = 0.35, 0.005, 12, 0.5
PLACE_LEVEL, PLACE_MARKS, PLACE_SIZE = 0.02, 8, 0.10
ADULT_LEVEL, ADULT_MARKS = 0.002, 12
REPORT_HOME, REPORT_SEEN, REPORT_DAYS = 8, 4, 42
REPORT_LEVEL, REPORT_WEEKS = 0.005, 9


def leans_on_help(seen: Look, level: float = LEAN_LEVEL) -> Pattern | None:
    """Alone goes far less well than with the least help, on the same step in the same weeks.

    A difference of `LEAN_GAP` or less is refuted (normal approximation, Agresti and Caffo 2000); `level` is
    shared among the steps.
    """
    rows = last_days(seen.practice, 28)
    found = []
    for step in np.unique(rows.step):
        mine = rows.where(rows.step == step)
        helped, alone = (managed(mine.where(mine.offered == lv)) for lv in (seen.top - 1, seen.top))
        if min(len(helped), len(alone)) >= LEAN_MARKS:
            p = _beyond(int(helped.sum()), len(helped), int(alone.sum()), len(alone))
            found.append((p, int(step), float(helped.mean()), float(alone.mean())))
    if not found or min(found)[0] * len(found) > level:
        return None
    p, step, with_help, without = min(found)
    p *= len(found)
    values = {"helped": with_help, "alone": without, "gap": LEAN_GAP, "level": level}
    return Pattern(PatternKind.LEANS_ON_HELP, (step,), p, values)


def _beyond(k: int, n: int, other_k: int, other_n: int) -> float:
    a, b = (k + 1) / (n + 2), (other_k + 1) / (other_n + 2)
    se = np.sqrt(a * (1 - a) / (n + 2) + b * (1 - b) / (other_n + 2))
    return float(ndtr(-(a - b - LEAN_GAP) / se))


def level_without_use(seen: Look, chance: float = USE_LEVEL) -> Pattern | None:
    """Where less help was not enough, this level hardly ever was: binomial test against `USEFUL`.

    Looks at the same turn only, so learning cannot mislead it; needs marks that say which level worked, or
    a least-to-most record. A go alone written one level down by a slip of the pen looks like a go that took
    the last help: so many as this family is thought to slip are allowed for. `chance` is shared among the
    levels.
    """
    found = []
    for level in range(1, seen.top):
        n, k = _tried(seen.practice, level, seen.top)
        if n >= USE_TURNS:
            slips = _slips_of_goes_alone(seen, n) if level == seen.top - 1 else 0.0
            enough = slips / n + (1 - slips / n) * USEFUL
            found.append((float(bdtr(k, n, enough)), level, k, n, slips))
    if not found or min(found)[0] * len(found) > chance:
        return None
    p, level, k, n, slips = min(found)
    values = {"level": level, "managed": k, "turns": n, "slips": round(slips), "useful": USEFUL}
    return Pattern(PatternKind.LEVEL_WITHOUT_USE, (), p * len(found), {**values, "error": chance})


def _slips_of_goes_alone(seen: Look, n: int) -> float:
    """How many of `n` goes written with the last help were done alone, by the family's slips."""
    rows = seen.practice
    alone = int(((rows.ladder == 0) & (rows.offered == seen.top) & managed(rows)).sum())
    return min(seen.view.slips[1] * alone, MOST_SLIPS * n)


def _tried(rows: Rows, level: int, top: int) -> tuple[int, int]:
    """Goes in which this level came next after too little help, and how many of them it ended."""
    ladder = rows.ladder == 1
    offered = ~ladder & (rows.hi == level) & (rows.hi < top) & ((rows.lo > 0) | (rows.hi == 0))
    tried = (offered & (rows.lo >= 0)) | (ladder & (rows.lo >= 0) & (rows.lo <= level))
    return int(tried.sum()), int((tried & (rows.lo == level)).sum())


def level_out_of_place(seen: Look, chance: float = PLACE_LEVEL) -> Pattern | None:
    """A level works less well than the next one, of less help, on the same steps in the same weeks.

    Likelihood ratio in a fit that sets steps and weeks apart (`patterns_by_help`), one-sided; `chance` is
    shared among the pairs of levels. The shares are those of the fit.
    """
    rows = seen.practice
    if not len(rows):
        return None
    told = by_help.table(rows, rows.offered - 1, by_help.by_level(seen.top))
    tried = [lv for lv in range(1, seen.top) if min(told.of(lv - 1), told.of(lv)) >= PLACE_MARKS]
    found = _out_of_place(told, tried, seen.top - 1) if tried else []
    if not found or min(found)[0] > chance:
        return None
    p, level, less, more = min(found)
    order = list(range(seen.top + 1))
    order[level - 1], order[level] = level, level - 1
    goes = (int(told.of(level - 1)), int(told.of(level - 2)))
    values = {"level": level, "order": tuple(order), "less_help": less, "more_help": more, "goes": goes}
    return Pattern(PatternKind.LEVEL_OUT_OF_PLACE, (), p, {**values, "error": chance})


def _out_of_place(told: by_help.Table, tried: list[int], pairs: int) -> list[tuple[float, int, float, float]]:
    """p, the level of less help, and the shares with it and with the one before, where they are reversed."""
    fit, found = by_help.fitted(told), []
    for level in tried:
        more, less = by_help.shares(told, fit, (level, level + 1))
        if less - more >= PLACE_SIZE:
            p = float(ndtr(-by_help.root(fit, told.alike(level)))) * pairs
            found.append((p, level + 1, less, more))
    return found


def adults_differ(seen: Look, level: float = ADULT_LEVEL) -> Pattern | None:
    """The two adults with most marks: is one's share managed higher, step by step and help by help?

    Cochran's test over strata of step and help (Cochran 1954; Mantel and Haenszel 1959), two-sided.
    """
    rows = last_days(seen.practice, 28)
    rows = rows.where(rows.adult < min(len(seen.adults), MOST_NAMES))
    if not len(rows):
        return None
    most = np.argsort(-np.bincount(rows.adult), kind="stable")[:2]
    if len(most) < 2 or min((rows.adult == adult).sum() for adult in most) < ADULT_MARKS:
        return None
    two = rows.where(np.isin(rows.adult, most))
    p = _stratified(two, int(most[0]))
    if p > level:
        return None
    shares = tuple(float(managed(two.where(two.adult == adult)).mean()) for adult in most)
    names = tuple(seen.adults[adult] for adult in most)
    return Pattern(PatternKind.ADULTS_DIFFER, (), p, {"adults": names, "shares": shares, "level": level})


def _stratified(rows: Rows, adult: int) -> float:
    _, stratum = np.unique(rows.step * 10 + rows.offered, return_inverse=True)
    his, good = rows.adult == adult, managed(rows)
    n, a, m = np.bincount(stratum), np.bincount(stratum, his), np.bincount(stratum, good)
    both = np.bincount(stratum, his & good)
    variance = a * (n - a) * m * (n - m) / np.maximum(n**2 * (n - 1.0), 1.0)
    if variance.sum() <= 0:
        return 1.0
    return float(2 * ndtr(-abs((both - a * m / n).sum()) / np.sqrt(variance.sum())))


@dataclass(frozen=True, slots=True)
class ReportGap:
    """Share alone as the family marks it less the share as observed, with its 90 % interval."""

    gap: float
    low: float
    high: float
    reported: float
    reported_n: int
    observed: float
    observed_n: int
    steps: tuple[int, ...]
    p: float


def report_gap(seen: Look) -> ReportGap:
    """Alone at home, as the family marks it, against alone as a therapist sees it: the same steps and weeks.

    Of each step only the days from its first mark at home to its last look count, so that learning cannot
    pass for a gap. `p`: Fisher's exact test, one-sided. NotEnoughData with too few marks of either.
    """
    rows = seen.rows.where((seen.rows.status == DONE) & (seen.rows.offered == seen.top))
    rows = last_days(rows, REPORT_DAYS)
    observed = np.isin(rows.source, OBSERVED)
    common = np.zeros(len(rows), dtype=bool)
    for step in np.intersect1d(rows.step[observed], rows.step[~observed]):
        here = rows.step == step
        first, last = rows.day[here & ~observed].min(), rows.day[here & observed].max()
        common |= here & (rows.day >= first) & (rows.day <= last)
    shared = np.unique(rows.step[common])
    home, looked = managed(rows.where(common & ~observed)), managed(rows.where(common & observed))
    for marks, needed in ((looked, REPORT_SEEN), (home, REPORT_HOME)):
        if len(marks) < needed:
            raise NotEnoughData("report_gap", n=len(marks), needed=needed)
    k, n, other_k, other_n = int(home.sum()), len(home), int(looked.sum()), len(looked)
    p = fisher_greater(k, n - k, other_k, other_n - other_k)
    gap, low, high = difference(k, n, other_k, other_n)
    steps = tuple(map(int, shared))
    return ReportGap(gap, low, high, k / n, n, other_k / other_n, other_n, steps, p)


def reported_ahead(seen: Look, level: float = REPORT_LEVEL) -> Pattern | None:
    """The family's marks run ahead of what was observed: false with chance `level` at one look.

    Likelihood ratio in a fit that sets steps and weeks apart (`patterns_by_help`): all practice says how
    well a step would go alone, with an effect of each help and of the day's first turn (a look of the
    therapist is one); is there an effect of being observed besides? Help may do otherwise than a fit can say,
    so goes alone must point the same way where a step had both in a week. `reported` is the share alone that
    the family's marks foretell for the looks, `observed` what came of them; `gap` has a 90 % interval.
    """
    rows = _looked_at(seen)
    observed = np.isin(rows.source, OBSERVED)
    if observed.sum() < REPORT_SEEN or (~observed & (rows.offered == seen.top)).sum() < REPORT_HOME:
        return None
    told = by_help.table(rows, _kinds(rows, observed, seen.top), _seen_or_told(seen.top))
    if not _ahead_alone(told, seen.top):
        return None
    fit = by_help.fitted(told)
    spread = float(np.sqrt(fit.spread[-1, -1]))
    if fit.effects[-1] > -spread:
        return None
    p = float(ndtr(-by_help.root(fit, told.without(-1))))
    if p > level:
        return None
    steps = tuple(np.unique(rows.step[observed]).tolist())
    values = {**_gap(told, fit, spread), "reported_n": int((~observed).sum()), "level": level}
    return Pattern(PatternKind.REPORTED_AHEAD, steps, p, values)


def _looked_at(seen: Look) -> Rows:
    """Practice, and looks without help at steps while they were practised."""
    rows = last_days(seen.rows.where((seen.rows.status == DONE) & (seen.rows.offered > 0)), REPORT_WEEKS * 7)
    observed = np.isin(rows.source, OBSERVED)
    kept = ~observed
    for step in np.unique(rows.step[~observed]):
        days = rows.day[~observed & (rows.step == step)]
        alone = observed & (rows.step == step) & (rows.offered == seen.top)
        kept |= alone & (rows.day >= days.min()) & (rows.day <= days.max())
    return rows.where(kept)


def _kinds(rows: Rows, observed: NDArray[np.bool_], top: int) -> NDArray[np.int64]:
    """Kind of each go: help level on a later turn, the same on the day's first turn, or observed."""
    first = (rows.turn_of_day == 0) & ~observed
    return np.where(observed, 2 * top, rows.offered - 1 + top * first)


def _seen_or_told(top: int) -> NDArray[np.float64]:
    """Effects of the levels, of a first turn and of being observed on each kind of go."""
    design = np.zeros((2 * top + 1, top + 1))
    design[:top, : top - 1] = design[top : 2 * top, : top - 1] = by_help.by_level(top)
    design[top:, top - 1] = 1
    design[-1, -1] = 1
    return design


def _ahead_alone(told: by_help.Table, top: int) -> bool:
    """Alone, on the same steps in the same weeks, more is managed as told than as seen."""
    home, good = (each[:, :, top - 1] + each[:, :, 2 * top - 1] for each in (told.goes, told.good))
    looks, alone = told.goes[:, :, -1], told.good[:, :, -1]
    both = (home > 0) & (looks > 0)
    return bool((looks[both] * good[both] / home[both]).sum() > alone[both].sum())


def _gap(told: by_help.Table, fit: by_help.Fit, spread: float) -> dict[str, object]:
    looks = told.goes[:, :, -1]
    n = looks.sum()

    def share(effect: float) -> float:
        return float((looks / (1 + np.exp(-(fit.skills + fit.effects[-2] + effect)))).sum() / n)

    reported, observed = share(0.0), float(told.good[:, :, -1].sum() / n)
    low, high = (reported - share(float(fit.effects[-1]) + z * spread) for z in (1.6449, -1.6449))
    values = {"reported": reported, "observed": observed, "observed_n": int(n)}
    return {**values, "gap": reported - observed, "low": low, "high": high}


def difference(k: int, n: int, other_k: int, other_n: int, z: float = 1.6449) -> tuple[float, float, float]:
    """Difference of two shares and its 90 % interval (Agresti and Caffo 2000, Am Stat 54:280-288)."""
    a, b = (k + 1) / (n + 2), (other_k + 1) / (other_n + 2)
    half = z * float(np.sqrt(a * (1 - a) / (n + 2) + b * (1 - b) / (other_n + 2)))
    return k / n - other_k / other_n, a - b - half, a - b + half
