"""A service's own prior: refused where logs are too few, written so that a tracker can begin with it,
and the same on this computer's processes and on a Dask cluster."""

from __future__ import annotations

import json
from collections.abc import Iterator

import numpy as np
import pytest
from distributed import LocalCluster

from bylittle.core.advice import SkillTracker
from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.learning.fitting import ChildLog, FittedPrior
from bylittle.core.learning.prior import SHIPPED
from bylittle.core.learning.tracker import Turn
from bylittle.core.practice.log import PracticeLog
from bylittle.core.practice.marks import Mark, Status
from bylittle.files.practice_csv import read_log
from bylittle.workflows.fit_prior import child_log, fit, prior_from_text, prior_text

TOP = 5


def service(children: int, chance: float, turns: int = 20) -> list[ChildLog]:
    """Children of one step, asked alone four times a day, each mark managed with this chance."""
    rng = np.random.default_rng(children)
    return [
        ChildLog(1, TOP + 1, tuple(Turn(turn // 4, (_mark(rng.random() < chance),)) for turn in range(turns)))
        for _ in range(children)
    ]


def _mark(good: bool) -> Mark:
    return Mark(0, TOP, Status.DONE, *((TOP, TOP) if good else (0, TOP - 1)))


@pytest.fixture(scope="module")
def fitted() -> FittedPrior:
    """Twenty children who mostly do it alone, and two whose logs are too short."""
    return fit(service(20, 0.9) + service(2, 0.9, turns=19), processes=1)


def test_too_few_children_are_refused_with_what_is_needed() -> None:
    with pytest.raises(NotEnoughData) as caught:
        fit(service(19, 0.5) + service(5, 0.5, turns=19), processes=1)
    assert (caught.value.n, caught.value.needed) == (19, 20)
    assert caught.value.values["turns"] == 20


def test_the_report_says_how_many_and_how_far(fitted: FittedPrior) -> None:
    assert (fitted.children, fitted.left_out) == (20, 2)
    moved = fitted.moved_shapes, fitted.moved_gains, fitted.moved_starts
    assert all(0 < each < 1 for each in moved)
    new = np.array(fitted.prior.start_shares) / sum(fitted.prior.start_shares)
    assert fitted.moved_starts == pytest.approx(np.abs(new - SHIPPED.start_shares).sum() / 2)
    assert fitted.evidence_after > fitted.evidence_before


def test_only_shares_move(fitted: FittedPrior) -> None:
    """Imagined children that hold the shipped shares keep every hypothesis possible."""
    for name in ("shapes", "gains", "starts", "start_sd", "home_noise", "weight_memory"):
        assert getattr(fitted.prior, name) == getattr(SHIPPED, name)
    for name in ("shape_shares", "gain_shares", "start_shares"):
        assert sum(getattr(fitted.prior, name)) == pytest.approx(1.0)
        assert min(getattr(fitted.prior, name)) > 0


def test_a_small_service_moves_less_than_a_large_one(fitted: FittedPrior) -> None:
    assert fit(service(40, 0.9), processes=1).moved_starts > fitted.moved_starts


def test_a_written_prior_is_read_back_and_a_tracker_begins_with_it(fitted: FittedPrior) -> None:
    again = prior_from_text(prior_text(fitted))
    assert again == fitted.prior
    assert SkillTracker(2, prior=again).chance(0, TOP, 0).mean > SkillTracker(2).chance(0, TOP, 0).mean


def test_the_text_tells_the_report_beside_the_prior(fitted: FittedPrior) -> None:
    told = json.loads(prior_text(fitted))
    assert (told["format"], told["children"], told["left_out"]) == (1, 20, 2)
    assert told["moved_starts"] == fitted.moved_starts


def test_local_processes_give_the_same_answer(fitted: FittedPrior) -> None:
    logs = service(20, 0.9) + service(2, 0.9, turns=19)
    assert fit(logs, processes=2) == fitted


@pytest.fixture
def cluster() -> Iterator[LocalCluster]:
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp://", dashboard_address=None
    ) as local:
        yield local


def test_a_dask_cluster_gives_the_same_answer(cluster: LocalCluster, fitted: FittedPrior) -> None:
    logs = service(20, 0.9) + service(2, 0.9, turns=19)
    assert cluster.scheduler_address.startswith("tcp://")
    assert fit(logs, cluster=cluster.scheduler_address) == fitted
    assert cluster.scheduler.transition_counter > 0  # the work went through the cluster


def test_a_log_file_becomes_turns_of_its_own_steps() -> None:
    text = (
        "# skill: Pull on a rain boot\n# steps: Open the boot | Pull up\n"
        "date,turn,step,offered,result,adult,place,grade,source,note\n"
        "2026-03-02,1,Pull up,words,managed,M,hall,,home,\n"
        "2026-03-02,2,Pull up,words,not managed,M,hall,,home,\n"
        "2026-03-04,1,Open the boot,alone,managed,M,hall,,home,\n"
    )
    file = read_log(text.encode())
    log = child_log(PracticeLog.of(file.entries), file.version, file.ladder)
    assert (log.n_steps, log.n_levels) == (2, 6)
    assert [turn.day - log.turns[0].day for turn in log.turns] == [0, 0, 2]
    marks = [(mark.step, mark.lo, mark.hi) for turn in log.turns for mark in turn.marks]
    assert marks == [(1, 4, 5), (1, 0, 3), (0, 5, 5)]


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"format": 1}', '{"format": 9, "prior": {}}', '{"format": 1, "prior": {}}']
)
def test_what_is_no_prior_is_refused(text: str) -> None:
    with pytest.raises(BadValue):
        prior_from_text(text)
