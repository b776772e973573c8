"""What one mark says about the child: an interval on the help ladder, never more.

*Reach* of an asked step on one turn is the least help that would have been enough, as an index of
independence: 0 the fullest help ... L alone. A mark bounds it: lo..hi. *Done by adult*, *child stopped*
and *missing* say nothing about skill (`lo` is -1, `hi` is L).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bylittle.core.faults import BadValue
from bylittle.core.plan.order_of_help import OrderOfHelp

NO_LEVEL = -1


class Source(StrEnum):
    """Where a mark comes from. Probe and baseline are a therapist's, from alone and without praise."""

    HOME = "home"
    VISIT = "visit"
    PAPER = "paper"
    PROBE = "probe"
    BASELINE = "baseline"

    @property
    def observed(self) -> bool:
        """True when a therapist or assistant saw it; false when the family reports it."""
        return self not in (Source.HOME, Source.PAPER)


class Outcome(StrEnum):
    """What was seen on one asked step of one turn."""

    MANAGED = "managed"
    NOT_MANAGED = "not managed"
    NEEDED = "needed"
    BY_ADULT = "done by adult"
    STOPPED = "stopped"
    MISSING = "missing"


class Status(StrEnum):
    """What the tracker does with a mark: learn from `done`, count `refused`, pass over the others."""

    ADULT = "adult"
    DONE = "done"
    REFUSED = "refused"
    MISSING = "missing"


class ProbeKind(StrEnum):
    """A single-opportunity probe ends at the first step not managed; a multiple-opportunity one goes on."""

    SINGLE = "single"
    MULTIPLE = "multiple"


@dataclass(frozen=True, slots=True)
class Mark:
    """One step mark as the tracker takes it. `step` from 0; `offered` -1 where no help was offered.

    `ladder` is true for an exact least-to-most record. `source` names where it comes from; `adult`,
    `place` and `grade` (of material) are told apart where given.
    """

    step: int
    offered: int
    status: Status
    lo: int
    hi: int
    ladder: bool = False
    source: Source = Source.HOME
    adult: str = ""
    place: str = ""
    grade: str = ""


@dataclass(frozen=True, slots=True)
class Reach:
    """Status and interval of one mark; `exact` when one level alone is meant."""

    status: Status
    lo: int
    hi: int
    exact: bool


def reach_of(
    outcome: Outcome,
    *,
    top: int,
    offered: int | None = None,
    needed: int | None = None,
    order: OrderOfHelp = OrderOfHelp.FIXED_OFFER,
    source: Source = Source.HOME,
) -> Reach:
    """The interval that one mark gives, on a ladder whose `alone` is `top`.

    `offered` is the help given at once (fixed offer) or None where it is not known; `needed` the level
    that the adult marked. BadValue for a level off the ladder, for an outcome that lacks its level, and
    for "not managed with the fullest help", which is a stop and should be written as one.
    """
    _check_level("offered", offered, top)
    _check_level("needed", needed, top)
    silent = {
        Outcome.BY_ADULT: Status.ADULT,
        Outcome.STOPPED: Status.REFUSED,
        Outcome.MISSING: Status.MISSING,
    }
    if outcome in silent:
        return Reach(silent[outcome], NO_LEVEL, top, False)
    if outcome is Outcome.NEEDED:
        return _needed(needed, offered, order, top)
    if offered is None:
        raise BadValue("offer_missing", name="offered", value="", allowed="a level of the ladder")
    if outcome is Outcome.MANAGED:
        return _managed(offered, top, order, source)
    return _not_managed(offered)


def _check_level(name: str, level: int | None, top: int) -> None:
    if level is not None and not 0 <= level <= top:
        raise BadValue("level_not_on_ladder", name=name, value=level, allowed=(0, top))


def _needed(needed: int | None, offered: int | None, order: OrderOfHelp, top: int) -> Reach:
    if needed is None:
        raise BadValue("needed_level_missing", name="result", value="needed", allowed="needed <level>")
    if order is OrderOfHelp.LEAST_TO_MOST or offered is None:
        return Reach(Status.DONE, needed, needed, True)
    if needed < offered:
        return Reach(Status.DONE, needed, offered - 1, False)
    return Reach(Status.DONE, needed, top, False)


def _managed(offered: int, top: int, order: OrderOfHelp, source: Source) -> Reach:
    if order is OrderOfHelp.LEAST_TO_MOST:
        return Reach(Status.DONE, offered, offered, True)
    probe = source in (Source.PROBE, Source.BASELINE)
    return Reach(Status.DONE, offered, top, probe and offered == top)


def _not_managed(offered: int) -> Reach:
    if offered == 0:
        raise BadValue("fullest_help_not_enough", name="result", value="not managed", allowed="stopped")
    return Reach(Status.DONE, 0, offered - 1, False)
