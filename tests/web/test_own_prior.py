"""The browser's advice starts from the service's own prior where there is one that can be read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bylittle.core.learning.fitting import FittedPrior
from bylittle.core.learning.prior import SHIPPED
from bylittle.web.practice.queries import log_of
from bylittle.web.reviews.own_prior import SHIPPED as NONE
from bylittle.web.reviews.own_prior import longest_logs, own_prior, which
from bylittle.workflows.fit_prior import FILE, prior_text
from tests import cast as people
from tests.cast import Cast

OWN = replace(SHIPPED, home_noise=0.08)


@pytest.fixture
def folder(settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path
    return tmp_path


def test_without_a_file_the_shipped_prior_serves(folder: Path) -> None:
    assert (own_prior(), which()) == (None, NONE)


def test_what_fit_prior_wrote_is_used_and_tells_kept_advice_stale(folder: Path) -> None:
    (folder / FILE).write_text(prior_text(FittedPrior(OWN, 20, 0, 0.1, 0.1, 0.1, -10.0, -9.0)), "utf-8")
    assert own_prior() == OWN
    assert which() != NONE


def test_a_broken_file_leaves_the_shipped_prior(folder: Path) -> None:
    (folder / FILE).write_text("no prior", "utf-8")
    assert own_prior() is None


def test_each_child_counts_once_with_her_longest_log(cast: Cast) -> None:
    people.baseline(cast)
    people.practised(cast, people.signed_plan(cast, days_ago=14), days=10)
    people.skills.start_blank(cast.child, "Wash hands")
    (log,) = longest_logs()
    assert len(log.turns) == len(list(log_of(cast.skill).turns()))
    assert (log.n_steps, log.n_levels) == (cast.skill.versions.get().steps.count(), 6)


def test_a_service_without_practice_has_no_logs(cast: Cast) -> None:
    assert longest_logs() == []
