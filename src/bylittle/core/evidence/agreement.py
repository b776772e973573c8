"""Do the people who score agree? Double-scored turns, and the family's marks beside the therapist's."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bylittle.core.evidence.facts import Fact, Kind, Source
from bylittle.core.evidence.series import PROBES, managed_with_offer
from bylittle.core.faults import Fault
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry, Identity, PracticeLog
from bylittle.core.practice.marks import Source as From
from bylittle.core.practice.marks import Status
from bylittle.core.stats.agreement import kappa, point_by_point
from bylittle.core.stats.proportions import wilson

ENOUGH_SCORED = 0.20
ENOUGH_ALIKE = 0.80
FEWEST_EACH = 5


@dataclass(frozen=True, slots=True)
class Scorer:
    """Who scored, and as what: two scorers of the same turns differ in at least one of the two."""

    source: From
    adult: str


def same_turns(log: PracticeLog, one: Scorer, other: Scorer) -> tuple[tuple[Identity, Identity], ...]:
    """Rows that both scorers wrote about the same turn: equal day, turn number and step.

    Only call this for scorers who counted the same turns (a visit or a video watched by both); turn numbers
    of people who were apart do not match.
    """
    rows = {entry.identity for entry in log.entries()}
    pairs = []
    for row in sorted(rows):
        twin = Identity(row.day, other.source, other.adult, row.turn, row.step_id)
        if (row.source, row.adult) == (one.source, one.adult) and twin in rows:
            pairs.append((row, twin))
    return tuple(pairs)


def double_scored(log: PracticeLog, pairs: Sequence[tuple[Identity, Identity]], top: int) -> list[Fact]:
    """Agreement on turns that two people scored, and which share of all scored marks that is.

    Alike: the same outcome and the same interval on the ladder. 20 % scored twice and 80 % alike are
    customary (common practice; the What Works Clearinghouse asks for the same).
    """
    if not pairs:
        return [Fact("not_double_scored", {"wanted": ENOUGH_SCORED}, (Source(Kind.AGREEMENT),))]
    rows = {entry.identity: entry for entry in log.entries()}
    told = [
        (_label(rows[one], top), _label(rows[two], top)) for one, two in pairs if one in rows and two in rows
    ]
    first, second = [one for one, _ in told], [two for _, two in told]
    second_rows = {two for _, two in pairs}
    scored = sum(1 for identity in rows if identity not in second_rows)
    values: dict[str, object] = {
        "n": len(told),
        "share_scored": len(told) / scored if scored else 0.0,
        "alike": point_by_point(first, second),
        "wanted_scored": ENOUGH_SCORED,
        "wanted_alike": ENOUGH_ALIKE,
    }
    values |= _kappa(first, second)
    days = [one.day for one, _ in pairs]
    return [Fact("double_scored", values, (Source(Kind.AGREEMENT, min(days), max(days)),))]


def _label(entry: Entry, top: int) -> str:
    reach = entry.reach(top)
    return f"{reach.status}:{reach.lo}:{reach.hi}"


def _kappa(first: Sequence[str], second: Sequence[str]) -> dict[str, object]:
    """Cohen's kappa with its interval; silent where it does not exist."""
    try:
        found = kappa(first, second)
    except Fault:
        return {}
    return {"kappa": found.estimate, "kappa_low": found.low, "kappa_high": found.high}


def reported_and_observed(entries: Iterable[Entry], top: int) -> list[Fact]:
    """The family's marks beside the therapist's, on steps and help levels that both have marks of.

    `apart`: the 95 % interval of the difference (Newcombe 1998, method 10) leaves out zero. The turns are
    not the same turns, and neighbouring turns are not independent: a sign to look, not a test.
    """
    practice = [entry for entry in entries if entry.source not in PROBES]
    told = [(e, managed) for e in practice if (managed := _managed(e, top)) is not None]
    common = {_cell(e) for e, _ in told if e.source.observed} & {
        _cell(e) for e, _ in told if not e.source.observed
    }
    reported = [managed for e, managed in told if not e.source.observed and _cell(e) in common]
    observed = [managed for e, managed in told if e.source.observed and _cell(e) in common]
    if min(len(reported), len(observed)) < FEWEST_EACH:
        values = {"reported": len(reported), "observed": len(observed), "needed": FEWEST_EACH}
        return [Fact("too_few_to_compare", values, (Source(Kind.AGREEMENT),))]
    low, high = difference(sum(reported), len(reported), sum(observed), len(observed))
    shares = sum(reported) / len(reported), sum(observed) / len(observed)
    told_values: dict[str, object] = {
        "reported": shares[0],
        "reported_n": len(reported),
        "observed": shares[1],
        "observed_n": len(observed),
        "gap": shares[0] - shares[1],
        "low": low,
        "high": high,
    }
    code = "reported_ahead" if low > 0 else "reported_behind" if high < 0 else "reported_alike"
    days = [e.day for e, _ in told]
    return [Fact(code, told_values, (Source(Kind.AGREEMENT, min(days), max(days)),))]


def _cell(entry: Entry) -> tuple[str, int | None, OrderOfHelp]:
    return entry.step_id, entry.offered, entry.order


def _managed(entry: Entry, top: int) -> bool | None:
    reach = entry.reach(top)
    return managed_with_offer(entry, reach, top) if reach.status is Status.DONE else None


def difference(k1: int, n1: int, k2: int, n2: int, level: float = 0.95) -> tuple[float, float]:
    """Interval of k1/n1 - k2/n2 from two Wilson intervals: Newcombe (1998), method 10."""
    p1, p2 = k1 / n1, k2 / n2
    (low1, high1), (low2, high2) = wilson(k1, n1, level), wilson(k2, n2, level)
    gap = p1 - p2
    return (
        gap - math.hypot(p1 - low1, high2 - p2),
        gap + math.hypot(high1 - p1, p2 - low2),
    )
