"""What will happen: the chance of a step with a help level on a day, and the counts to expect.

A chance is on a typical day: averaged over the child's day-to-day swings. Its interval says how sure we are
of that chance; the swings themselves widen the counts and not the interval.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from scipy.special import gammaln

from bylittle.core.faults import BadValue
from bylittle.core.learning.marks import whole_day
from bylittle.core.learning.passing import rounded_effort, time_kernel
from bylittle.core.learning.prior import FINER
from bylittle.core.learning.responses import Curves, record_chances, typical
from bylittle.core.learning.tracker import Evening, Settings, State, passed, updated
from bylittle.core.learning.writers import Slips, slips_to_come
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import Singles, binned_quantiles, collapsed, moved, refinement

MOST_TURNS_A_DAY = 500


class Chance(NamedTuple):
    """Mean and central 90 % interval of a chance, 0..1."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """Belief about one day, small enough to ask many questions: `mass` [k, c, g] sums to 1 for each step.

    `offsets` [c, L - 1] are the help levels' offsets, `doubts` their standard deviation by level,
    `slips` how often the family's next mark is a level up or down.
    """

    settings: Settings
    day: int
    mass: Floats
    offsets: Floats
    doubts: tuple[float, ...]
    slips: Slips
    curves: dict[int, Floats] = field(default_factory=dict, compare=False, repr=False)

    def curve(self, level: int) -> Floats:
        """True chance [c, f] on the finer grid with this help; worked out once."""
        if level not in self.curves:
            self.curves[level] = typical(self.settings.bank, self.offsets, level)
        return self.curves[level]


def outlook(state: State, day: int | None = None) -> Outlook:
    """Belief about `day` (the day after the last entry when None); BadValue for a day before that entry."""
    asked, seen, belief = _on_the_day(state, day)
    return _seen_from(state, asked, seen, belief)


def outlook_ahead(state: State, day: int, days: int, efforts: Sequence[float]) -> Outlook:
    """Belief `days` after `day` if each step is practised by its effort meanwhile (see `effort_of`)."""
    asked, seen, belief = _on_the_day(state, day)
    kernels = [time_kernel(state.settings.bank, rounded_effort(each), days) for each in efforts]
    later = moved(belief, np.stack(kernels), state.settings.bank.n_gains)
    return _seen_from(state, asked + days, seen, later)


def _on_the_day(state: State, day: int | None) -> tuple[int, Evening, Singles]:
    last = state.day
    asked = (0 if last is None else last + 1) if day is None else whole_day(day, last)
    seen = updated(state)
    if last is None or asked == last:
        return asked, seen, seen.belief
    return asked, seen, passed(state, seen, asked - last)


def _seen_from(state: State, day: int, seen: Evening, belief: Singles) -> Outlook:
    weights = np.exp(seen.log_weights)
    mass = collapsed(belief, weights, state.settings.bank.n_gains).sum(axis=2)
    doubts = np.sqrt(weights.sum(axis=1) @ (1 / seen.precision))
    mass = mass / mass.sum(axis=(1, 2), keepdims=True)
    slips = slips_to_come(state.settings.bank, state.writers)
    return Outlook(state.settings, day, mass, seen.offsets, tuple(doubts.tolist()), slips)


def means(view: Outlook) -> Floats:
    """Mean chance [step, level] on a typical day."""
    finer = view.settings.bank.finer
    curves = np.stack([view.curve(level) @ finer.T for level in range(view.settings.n_levels)])
    return np.asarray(np.einsum("kcg,lcg->kl", view.mass, curves))


def chance(view: Outlook, step: int, level: int) -> Chance:
    """Chance that `level` of help is enough for `step`, with its 90 % interval."""
    _check(view, step, level)
    values = view.curve(level)
    mean = float((values * (view.mass[step] @ view.settings.bank.finer)).sum())
    low, high = binned_quantiles(values, _fine_mass(view, step, level), (0.05, 0.95))
    return Chance(mean, min(float(low), mean), max(float(high), mean))


def share_above(view: Outlook, step: int, level: int, bar: float) -> float:
    """P(chance at `level` >= `bar`) for a step."""
    _check(view, step, level)
    return float(_fine_mass(view, step, level)[view.curve(level) >= bar].sum())


def _fine_mass(view: Outlook, step: int, level: int) -> Floats:
    """Mass on the finer grid [c, f]; doubt about a help level's offset blurs it like doubt about skill."""
    arrays = view.settings.bank
    doubt = view.doubts[level - 1] if 0 < level < view.settings.top else 0.0
    blur = round(10 * doubt) / 10 / float(arrays.grid[1] - arrays.grid[0])
    return np.asarray(view.mass[step] @ refinement(len(arrays.grid), FINER, blur))


def count_pmf(view: Outlook, step: int, level: int, n: int) -> Floats:
    """P(k recorded successes of n) for k = 0..n, all on one day and offered `level`; mark noise included."""
    _check(view, step, level)
    if not isinstance(n, int | np.integer) or not 0 <= n <= MOST_TURNS_A_DAY:
        raise BadValue("out_of_range", name="n", value=n, allowed=(0, MOST_TURNS_A_DAY))
    arrays = view.settings.bank
    kind = (*view.slips, 0.0, True, level, view.settings.top)
    p = record_chances(Curves(arrays, view.offsets), [kind])[0].astype(np.float64)
    weights = view.mass[step][:, None, :] * arrays.node_weights[None, :, None]
    pmf = _binomial(int(n), p.ravel()) @ weights.ravel()
    return np.asarray(pmf / pmf.sum())


def _binomial(n: int, p: Floats) -> Floats:
    k = np.arange(n + 1)[:, None]
    choose = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    safe = np.clip(p, 1e-12, 1 - 1e-12)
    return np.asarray(np.exp(choose + k * np.log(safe) + (n - k) * np.log1p(-safe)))


def _check(view: Outlook, step: int, level: int) -> None:
    for name, value, end in (
        ("step", step, view.settings.n_steps),
        ("level", level, view.settings.n_levels),
    ):
        if not isinstance(value, int | np.integer) or not 0 <= value < end:
            raise BadValue("out_of_range", name=name, value=value, allowed=(0, end - 1))
