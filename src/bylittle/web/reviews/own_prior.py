"""The service's own expectation of a new child: `prior.json` in the data directory, made by `fit-prior`."""

from __future__ import annotations

import logging
from functools import lru_cache
from pathlib import Path

from django.conf import settings

from bylittle.core.faults import BadValue, Fault
from bylittle.core.learning.fitting import ChildLog
from bylittle.core.learning.prior import Prior
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.web.plans.queries import signed_plan
from bylittle.web.practice.queries import log_of
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import as_core, latest_version
from bylittle.workflows.fit_prior import FILE, child_log, prior_from_text

SHIPPED = "shipped"


def own_prior() -> Prior | None:
    """The service's own prior; None where there is none or it cannot be read: the shipped one serves then."""
    return _read(_path(), which())


def which() -> str:
    """Tells one prior from another: advice kept under another one is stale."""
    path = _path()
    return str(path.stat().st_mtime_ns) if path.is_file() else SHIPPED


def longest_logs() -> list[ChildLog]:
    """The longest practice log of each child: a child counts once, however many skills she learns."""
    longest: dict[int, ChildLog] = {}
    for skill in Skill.objects.prefetch_related("plans", "versions__steps").order_by("pk"):
        log = _log(skill)
        if log is not None and len(log.turns) > len(getattr(longest.get(skill.child_id), "turns", ())):
            longest[skill.child_id] = log
    return list(longest.values())


def _log(skill: Skill) -> ChildLog | None:
    """A skill's log with the ladder of its plan; None where no step of it is for the child to learn."""
    plan = signed_plan(list(skill.plans.all()))
    try:
        return child_log(
            log_of(skill), as_core(latest_version(skill)), plan.ladder if plan else DEFAULT_LADDER
        )
    except BadValue:
        return None


def _path() -> Path:
    return Path(settings.DATA_DIR) / FILE


@lru_cache(maxsize=2)
def _read(path: Path, told: str) -> Prior | None:
    if told == SHIPPED:
        return None
    try:
        return prior_from_text(path.read_text(encoding="utf-8"))
    except (Fault, OSError, UnicodeDecodeError):
        logging.getLogger(__name__).warning("%s is not what fit-prior wrote; the shipped prior serves", path)
        return None
