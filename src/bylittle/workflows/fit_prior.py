"""A prior from the service's own children: many logs in, one prior and a report out.

Processes on this computer by default; the same call on a Dask cluster when an address is given.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict
from typing import Any

from bylittle.core.faults import BadValue
from bylittle.core.learning.fitting import ChildLog, Earned, FittedPrior, Mapper, fit_prior
from bylittle.core.learning.prior import Prior, check
from bylittle.core.learning.saved import prior_from_value
from bylittle.core.learning.tracker import Turn
from bylittle.core.practice.log import PracticeLog
from bylittle.core.skill.ladder import Ladder
from bylittle.core.skill.steps import SkillVersion
from bylittle.workflows.advise_log import places_taught

FORMAT = 1
FILE = "prior.json"
"""The prior's name in a data directory: there the browser's advice finds it."""


def child_log(log: PracticeLog, version: SkillVersion, ladder: Ladder) -> ChildLog:
    """One child's log as the fit takes it; entries of steps this version does not have are left out."""
    taught, turns = places_taught(version), []
    for day, entries in log.turns():
        known = tuple(e.mark(taught[e.step_id], ladder.top) for e in entries if e.step_id in taught)
        if known:
            turns.append(Turn(day.toordinal(), known))
    return ChildLog(len(taught), len(ladder), tuple(turns))


def fit(logs: Sequence[ChildLog], processes: int = 2, cluster: str = "") -> FittedPrior:
    """Fit a prior; NotEnoughData where the service is too small, which then keeps the shipped one."""
    with mapper(processes, cluster) as across:
        return fit_prior(logs, across)


@contextmanager
def mapper(processes: int, cluster: str) -> Iterator[Mapper]:
    """A map over this process, local processes, or the workers of a Dask cluster at this address."""
    if cluster:
        from distributed import Client

        with Client(cluster) as client:  # type: ignore[no-untyped-call]
            yield lambda work, logs: _gathered(client, work, logs)
    elif processes > 1:
        with ProcessPoolExecutor(processes) as pool:
            yield lambda work, logs: pool.map(work, logs, chunksize=4)
    else:
        yield map


def _gathered(client: Any, work: Callable[[ChildLog], Earned], logs: Sequence[ChildLog]) -> Iterable[Earned]:
    found: list[Earned] = client.gather(client.map(work, list(logs), pure=False))
    return found


def prior_text(fitted: FittedPrior) -> str:
    """The fitted prior and its report as JSON text."""
    return json.dumps({"format": FORMAT, **asdict(fitted)}, indent=1, sort_keys=True)


def prior_from_text(text: str) -> Prior:
    """The prior from such text; BadValue where it is not one that `prior_text` wrote."""
    try:
        value = json.loads(text)
        if value["format"] != FORMAT:
            raise BadValue("saved_format", name="format", value=value["format"], allowed=FORMAT)
        prior = prior_from_value(value["prior"])
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise BadValue(
            "saved_prior", name="prior", value=str(error), allowed="what fit-prior wrote"
        ) from error
    check(prior)
    return prior
