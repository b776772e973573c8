"""The browser's advice starts from the service's own prior where there is one that can be read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bylittle.core.learning.fitting import FittedPrior
from bylittle.core.learning.prior import SHIPPED
from bylittle.web.reviews.own_prior import FILE, own_prior, which
from bylittle.web.reviews.own_prior import SHIPPED as NONE
from bylittle.workflows.fit_prior import prior_text

OWN = replace(SHIPPED, gain_shares=(0.4, 0.3, 0.2, 0.1))


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
