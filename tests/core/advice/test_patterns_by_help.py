"""The fit that sets steps and weeks apart from help: against a general library, and on made children."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.special import expit

from bylittle.core.advice import patterns_by_help as by_help
from bylittle.core.advice import patterns_of_help
from bylittle.core.advice.patterns_by_help import Fit, Table, by_level

LOGS = 300


def drifting(rng: np.random.Generator, effects: tuple[float, ...], steps: int = 4, weeks: int = 8) -> Table:
    """Steps that are learnt week by week; help lessens as they are, as advice has it."""
    skills = rng.normal(-3.0, 0.8, (steps, 1)) + np.cumsum(rng.normal(0.5, 0.3, (steps, weeks)), axis=1)
    chances = expit(skills[:, :, None] + np.array(effects))
    goes = np.zeros(chances.shape)
    for step, week in np.ndindex(steps, weeks):
        offered = np.abs(chances[step, week] - 0.75 + rng.normal(0, 0.1, len(effects))).argsort()[:2]
        goes[step, week, offered] = (10, 5)
    return Table(goes, rng.binomial(goes.astype(int), chances).astype(float), by_level(len(effects)))


def reversed_by(told: Table, fit: Fit, level: int) -> float:
    """Signed root: above 0 where the next level, of less help, works better."""
    sign = np.sign(by_help.effect_of(fit, level + 1) - by_help.effect_of(fit, level))
    return float(sign * by_help.root(fit, told.alike(level)))


def test_with_wide_beliefs_it_is_the_ordinary_logistic_regression(monkeypatch: pytest.MonkeyPatch) -> None:
    """statsmodels 0.14, GLM with one term for each step and week and one for each help level but alone."""
    monkeypatch.setattr(by_help, "DRIFT", 1e4)
    monkeypatch.setattr(by_help, "WIDE", 1e4)
    rng = np.random.default_rng(4)
    goes = rng.integers(10, 20, (2, 3, 4)).astype(float)
    told = Table(goes, rng.binomial(goes.astype(int), 0.6).astype(float), by_level(4))
    step_week, level = np.divmod(np.arange(goes.size), 4)
    design = np.column_stack([step_week[:, None] == np.arange(6), level[:, None] == np.arange(3)])
    answers = np.column_stack([told.good.ravel(), (goes - told.good).ravel()])
    outside = sm.GLM(answers, design.astype(float), family=sm.families.Binomial()).fit(tol=1e-12)
    fit = by_help.fitted(told)
    assert fit.skills.ravel() == pytest.approx(outside.params[:6], abs=1e-4)
    assert fit.effects == pytest.approx(outside.params[6:], abs=1e-4)
    assert fit.spread == pytest.approx(outside.cov_params()[6:, 6:], rel=1e-3)


def test_effects_keep_their_order_though_help_follows_skill() -> None:
    """Plain shares have it otherwise: each level is offered where it goes three times in four."""
    rng = np.random.default_rng(11)
    effects = np.array([3.5, 0.6, 2.8])
    found = np.mean([by_help.fitted(drifting(rng, (*effects, 0.0))).effects for _ in range(20)], axis=0)
    assert found.argsort().tolist() == effects.argsort().tolist()
    assert 0.4 * effects[2] < found[2] - found[1] < effects[2]


def test_levels_alike_are_told_apart_no_more_often_than_said() -> None:
    """The two are alike; the one of less help is offered later, when the step goes better anyway."""
    rng = np.random.default_rng(2)
    roots = []
    for _ in range(LOGS):
        told = drifting(rng, (3.0, 1.6, 1.6, 0.0))
        roots.append(reversed_by(told, by_help.fitted(told), 2))
    level = 0.05
    false = np.mean(np.array(roots) > 1.6449)
    assert false <= level + 3 * np.sqrt(level * (1 - level) / LOGS)


def test_a_level_that_works_less_well_than_less_help_is_found() -> None:
    rng = np.random.default_rng(3)
    told = drifting(rng, (3.8, 0.6, 3.2, 0.0))
    fit = by_help.fitted(told)
    assert reversed_by(told, fit, 2) > 3
    more, less = by_help.shares(told, fit, (2, 3))
    assert less > more + patterns_of_help.PLACE_SIZE


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Any log in brief: few or many goes, all managed or none, levels never offered."""
    steps, weeks, top = draw(st.integers(1, 4)), draw(st.integers(1, 6)), draw(st.integers(1, 5))
    shape = (steps, weeks, top)
    goes = draw(arrays(np.int64, shape, elements=st.sampled_from([0, 0, 1, 4, 30])))
    share = draw(arrays(np.float64, shape, elements=st.sampled_from([0.0, 0.3, 1.0])))
    return Table(goes.astype(float), np.floor(goes * share), by_level(top))


@settings(max_examples=40, deadline=None)
@given(tables())
def test_any_log_gives_finite_effects_and_knowing_less_never_fits_better(told: Table) -> None:
    fit = by_help.fitted(told)
    assert np.isfinite(fit.skills).all()
    assert np.abs(fit.effects).max(initial=0.0) < 15
    for effect in range(told.design.shape[1]):
        assert by_help.fitted(told.without(effect)).log_fit <= fit.log_fit + 0.01
    sure, sizes = by_help.rises(told, fit, np.arange(1, told.goes.shape[1]))
    assert np.isfinite(sure).all()
    assert np.isfinite(sizes).all()
    assert len(sure) == len(sizes)


@settings(max_examples=20, deadline=None)
@given(tables(), st.integers(0, 3))
def test_the_order_of_steps_does_not_matter(told: Table, turn: int) -> None:
    fit = by_help.fitted(told)
    turned = by_help.fitted(replace(told, goes=np.roll(told.goes, turn, 0), good=np.roll(told.good, turn, 0)))
    assert turned.effects == pytest.approx(fit.effects, abs=1e-3)
    assert turned.log_fit == pytest.approx(fit.log_fit, abs=1e-3)
