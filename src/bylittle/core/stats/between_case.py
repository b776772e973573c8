"""Between-case standardised mean difference: a single-case effect on the scale of a group study's d.

Moment method of Hedges, Pustejovsky & Shadish: `multiple_baseline` (2013) and `reversal` (2012). Both take
a long table: for each point its case, session number, whether it was treated, and outcome. The spread
between cases at one moment stands in for the spread between people, so at least three cases are needed.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import t as student

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats.values import Array, Better, Estimate, mean, series, sign_of

Index: TypeAlias = NDArray[np.int64]

FEWEST_CASES = 3
LEAST_DF = 2.001
# An estimate of autocorrelation beyond this has no covariance that goes with it.
MOST_AUTOCORRELATION = 0.99


@dataclass(frozen=True, slots=True)
class BetweenCase(Estimate):
    """The estimate, corrected for small samples, and the parts it is made of.

    `difference` is the mean rise in units of the outcome, `variance` the spread between and within cases
    together, `within` the part within cases, `correlation` the share between cases (rho), `autocorrelation`
    phi, `theta` the unscaled standard error of the difference, `df` the degrees of freedom, `points` the
    cells or shared points.
    """

    unadjusted: float = 0.0
    difference: float = 0.0
    variance: float = 0.0
    autocorrelation: float = 0.0
    within: float = 0.0
    correlation: float = 0.0
    theta: float = 0.0
    df: float = 0.0
    points: int = 0


@dataclass(frozen=True, slots=True)
class _Table:
    """One row a point, sorted by case and session.

    `run` numbers the phases of all cases, `unit` the case-by-pair whose phases are compared, `pair` the pair.
    """

    case: Index
    session: Array
    outcome: Array
    treated: NDArray[np.bool_]
    run: Index
    unit: Index
    pair: Index


def multiple_baseline(
    case: Sequence[Hashable],
    session: ArrayLike,
    treated: Sequence[bool],
    outcome: ArrayLike,
    better: Better = "increase",
) -> BetweenCase:
    """Multiple baseline across cases: Hedges, Pustejovsky & Shadish (2013).

    The variance comes from cases that are in the same phase at the same session, the autocorrelation from
    each case's whole series of deviations from its phase means, neighbours across the change of phase
    included. Raises NotEnoughData under three cases, for a case without one of its phases, or where no two
    cases share a session and phase; Undefined when the outcome does not vary.
    """
    table = _table(case, session, treated, None, outcome, better)
    cell = _numbered(np.column_stack((table.session, table.treated)))
    rest = table.outcome - _means(table.outcome, table.run)
    g, cells = rest.size, int(cell.max()) + 1
    if g == cells:
        raise NotEnoughData(n=0, needed=1, name="shared sessions")
    left = table.outcome - _means(table.outcome, cell)
    length = np.bincount(table.run)
    phi = _lag_one(rest, table.case) + _ratio(float(((length - 1) / length).sum()), g - length.size)
    return _finished(table, cell, np.ones(g, dtype=bool), left, g - cells, cells, rest, phi, table.session)


def reversal(
    case: Sequence[Hashable],
    session: ArrayLike,
    treated: Sequence[bool],
    pair: Sequence[Hashable],
    outcome: ArrayLike,
    better: Better = "increase",
) -> BetweenCase:
    """Reversal design with one or more baseline-treatment pairs: Hedges, Pustejovsky & Shadish (2012).

    `pair` numbers the baseline-treatment pair of each point. Points are lined up by their place in their
    phase, and the variance comes from the places that every case has. The autocorrelation uses neighbours
    in one phase only; the within-case variance counts lags by place, error and degrees of freedom by
    session number. Raises as `multiple_baseline` does.
    """
    table = _table(case, session, treated, pair, outcome, better)
    place = _places(table.run)
    cell = _numbered(np.column_stack((table.pair, table.treated, place)))
    rest = table.outcome - _means(table.outcome, table.run)
    cases = int(table.case.max()) + 1
    shared = np.bincount(cell)[cell] == cases
    points = int(np.count_nonzero(shared)) // cases
    if points == 0:
        raise NotEnoughData(n=0, needed=1, name="shared points")
    left = np.where(shared, table.outcome - _means(table.outcome, cell), 0.0)
    length = np.bincount(table.run)
    phi = _lag_one(rest, table.run) + _ratio(float((1 - 1 / length).sum()), float((length - 1).sum()))
    return _finished(table, cell, shared, left, points * (cases - 1), points, rest, phi, place)


def _finished(
    table: _Table,
    cell: Index,
    used: NDArray[np.bool_],
    left: Array,
    df: int,
    points: int,
    rest: Array,
    phi: float,
    clock: Array,
) -> BetweenCase:
    """Put it together: `left` are deviations from cell means with `df`, `rest` those from phase means."""
    total = float(left @ left) / df
    if total <= _noise(table.outcome) or float(rest @ rest) <= _noise(table.outcome):
        raise Undefined(name="between_case", variance=0.0)
    phi = float(np.clip(phi, -MOST_AUTOCORRELATION, MOST_AUTOCORRELATION))
    within = float(rest @ rest) / _effective(table, clock, phi)
    rho = max(0.0, 1.0 - within / total)
    covariance = _covariance(table.case, table.session, rho, phi)
    contrast = _contrast(table)
    theta = math.sqrt(float(contrast @ covariance @ contrast))
    nu = df**2 / _trace_of_square(cell[used], covariance[np.ix_(used, used)])
    difference = float(contrast @ table.outcome)
    corrected = _corrected(difference / math.sqrt(total), theta, nu)
    return BetweenCase(
        *corrected,
        unadjusted=difference / math.sqrt(total),
        difference=difference,
        variance=total,
        autocorrelation=phi,
        within=within,
        correlation=rho,
        theta=theta,
        df=nu,
        points=points,
    )


def _corrected(unadjusted: float, theta: float, nu: float) -> tuple[float, float, float, float]:
    """Small-sample estimate, its error, and the interval by Student's t with `nu` degrees of freedom."""
    correction = 1.0 - 3.0 / (4.0 * nu - 1.0)
    estimate, floor = correction * unadjusted, max(nu, LEAST_DF)
    ratio = floor / (floor - 2.0)
    spread = correction**2 * (theta**2 * ratio + estimate**2 * (ratio - 1.0 / correction**2))
    se = math.sqrt(max(spread, 0.0))
    reach = float(student.ppf(0.975, floor)) * se
    return estimate, se, estimate - reach, estimate + reach


def _table(
    case: Sequence[Hashable],
    session: ArrayLike,
    treated: Sequence[bool],
    pair: Sequence[Hashable] | None,
    outcome: ArrayLike,
    better: Better,
) -> _Table:
    sign = sign_of(better)
    values, times = sign * series(outcome, "outcome"), series(session, "session")
    columns: dict[str, Any] = {"case": case, "session": times, "treated": treated}
    columns |= {"pair": pair} if pair is not None else {}
    for name, column in columns.items():
        if len(column) != values.size:
            raise BadValue(name=name, value=len(column), allowed=f"{values.size} values")
    cases, pairs = _codes(case), _codes(pair if pair is not None else [0] * values.size)
    order = np.lexsort((times, cases))
    cases, pairs, times, values = cases[order], pairs[order], times[order], values[order]
    on = np.asarray(treated, dtype=bool)[order]
    if np.any((np.diff(cases) == 0) & (np.diff(times) == 0)):
        raise BadValue(name="session", value="twice", allowed="once in a case")
    unit = _numbered(np.column_stack((cases, pairs)))
    run = _numbered(np.column_stack((unit, on)))
    _check_design(cases, unit, run, on)
    return _Table(cases, times, values, on, run, unit, pairs)


def _check_design(case: Index, unit: Index, run: Index, on: NDArray[np.bool_]) -> None:
    cases, units, runs = (int(column.max()) + 1 for column in (case, unit, run))
    if cases < FEWEST_CASES:
        raise NotEnoughData(n=cases, needed=FEWEST_CASES, name="cases")
    if runs < 2 * units:
        raise NotEnoughData(n=runs, needed=2 * units, name="phases")


def _codes(labels: Sequence[Hashable]) -> Index:
    known: dict[Hashable, int] = {}
    return np.array([known.setdefault(label, len(known)) for label in labels], dtype=np.int64)


def _numbered(rows: NDArray[Any]) -> Index:
    return np.unique(rows, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)


def _places(run: Index) -> Array:
    """Place of each point in its phase, from 1; points stand in order of time."""
    place = np.empty(run.size)
    for number in range(int(run.max()) + 1):
        place[run == number] = np.arange(1, np.count_nonzero(run == number) + 1)
    return place


def _means(values: Array, group: Index) -> Array:
    found = np.array([mean(values[group == number]) for number in range(int(group.max()) + 1)])
    return np.asarray(found[group])


def _lag_one(rest: Array, group: Index) -> float:
    """Products of neighbours in one group over the sum of squares."""
    squares = float(rest @ rest)
    together = group[1:] == group[:-1]
    products = float((rest[1:] * rest[:-1])[together].sum())
    return _ratio(products, squares)


def _ratio(top: float, bottom: float) -> float:
    return top / bottom if bottom > 0 else 0.0


def _covariance(case: Index, clock: Array, rho: float, phi: float) -> Array:
    """Correlation of all points: between cases none, within a case rho + (1 - rho) phi^lag."""
    lag = np.abs(clock[:, None] - clock[None, :])
    return np.where(case[:, None] == case[None, :], rho + (1.0 - rho) * phi**lag, 0.0)


def _effective(table: _Table, clock: Array, phi: float) -> float:
    """Degrees of freedom of the deviations from phase means under autocorrelation: g - tr(P V(0, phi))."""
    same = table.run[:, None] == table.run[None, :]
    lag = np.abs(clock[:, None] - clock[None, :])
    share = np.where(same, phi**lag, 0.0) / np.bincount(table.run)[table.run][:, None]
    return table.run.size - float(share.sum())


def _trace_of_square(cell: Index, covariance: Array) -> float:
    """tr(A V A V), A the residual maker of the cell means."""
    member = _numbered(cell[:, None])
    kept = covariance - _mean_rows(covariance, member)
    return float(np.sum(kept * kept.T))


def _mean_rows(matrix: Array, group: Index) -> Array:
    sums = np.zeros((int(group.max()) + 1, matrix.shape[1]))
    np.add.at(sums, group, matrix)
    return np.asarray((sums / np.bincount(group)[:, None])[group])


def _contrast(table: _Table) -> Array:
    """Weights that give the mean over cases (or pairs) of treatment mean less baseline mean."""
    units = int(table.unit.max()) + 1
    length = np.bincount(table.run)[table.run]
    return np.asarray(np.where(table.treated, 1.0, -1.0) / (length * units))


def _noise(outcome: Array) -> float:
    """Below this a variance is rounding error."""
    return float((1e-12 * np.max(np.abs(outcome))) ** 2)
