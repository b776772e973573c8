"""From the practice log to what a graph shows: one value a day for practice, one value a probe.

A blank is missing and never zero; a stop is counted and never a zero either. *Alone* means that no help
was needed (`lo` is the ladder's top): managed with help is not alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Reach, Source, Status
from bylittle.core.skill.steps import SkillVersion

PROBES = (Source.BASELINE, Source.PROBE)


@dataclass(frozen=True, slots=True)
class PracticeDay:
    """The practice of one date, pooled over adults, apart for reported and observed.

    `marks`: marks that say something; `alone` of them needed no help, `unclear` of them were managed with
    help and may or may not have been alone. `helped` of `helped_of` were managed with the help offered.
    `lowest_help`, `highest_help`: ladder indices offered on that day (fixed offer), None where none was.
    """

    day: date
    observed: bool
    adults: tuple[str, ...]
    turns: int
    marks: int
    alone: int
    unclear: int
    helped: int
    helped_of: int
    stopped: int
    missing: int
    lowest_help: int | None
    highest_help: int | None

    @property
    def share_helped(self) -> float | None:
        """Share managed with the help offered, 0..1; None where no mark tells."""
        return self.helped / self.helped_of if self.helped_of else None

    @property
    def share_alone(self) -> float | None:
        """Share alone, 0..1; None unless every mark tells it: leaving the unclear ones out would mislead."""
        return self.alone / self.marks if self.marks and not self.unclear else None


@dataclass(frozen=True, slots=True)
class Probe:
    """One turn from alone, without help: `alone` of `steps` child's steps were done alone.

    `unseen`: steps without a mark (after the stop of a single-opportunity probe); they are not counted as
    alone, so `alone` is at least this many. `by_step`: what was seen of each step.
    """

    day: date
    turn: int
    adult: str
    baseline: bool
    kind: ProbeKind | None
    steps: int
    alone: int
    unseen: int
    stopped: bool
    by_step: tuple[tuple[str, bool], ...]
    place: str = ""

    @property
    def share_alone(self) -> float:
        """Share of the child's steps done alone, 0..1."""
        return self.alone / self.steps


@dataclass(frozen=True, slots=True)
class Series:
    """All that one skill's graph shows, in order of days. `top`: index of `alone` on the ladder."""

    skill: str
    steps: tuple[str, ...]
    top: int
    practice: tuple[PracticeDay, ...]
    probes: tuple[Probe, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """Dates with practice or a probe, each once."""
        practice, probed = {each.day for each in self.practice}, {each.day for each in self.probes}
        return tuple(sorted(practice | probed))

    def until(self, day: date) -> Series:
        """The part up to and including a day."""
        kept = tuple(item for item in self.practice if item.day <= day)
        probes = tuple(item for item in self.probes if item.day <= day)
        return Series(self.skill, self.steps, self.top, kept, probes)


def series_of(log: PracticeLog, skill: SkillVersion, top: int, step_id: str | None = None) -> Series:
    """The series of a whole skill, or of one step when `step_id` is given.

    `top`: index of `alone` on the plan's ladder. BadValue when the step is not in this version.
    """
    chosen = skill.steps if step_id is None else (skill.steps[skill.position(step_id)],)
    ids = tuple(step.id for step in chosen if not step.adult_only or step_id is not None)
    rows = [entry for entry in log.entries() if step_id is None or entry.step_id == step_id]
    name = skill.name if step_id is None else chosen[0].name
    return Series(name, ids, top, practice_days(rows, top), probes(rows, ids, top))


def practice_days(entries: Iterable[Entry], top: int) -> tuple[PracticeDay, ...]:
    """One value for each date and kind of witness; probes are left out."""
    rows = sorted((e for e in entries if e.source not in PROBES), key=_witness)
    return tuple(_practice_day(list(group), top) for _, group in groupby(rows, key=_witness))


def _witness(entry: Entry) -> tuple[date, bool]:
    return entry.day, entry.source.observed


def _practice_day(rows: Sequence[Entry], top: int) -> PracticeDay:
    reaches = [(row, row.reach(top)) for row in rows]
    done = [(row, reach) for row, reach in reaches if reach.status is Status.DONE]
    told = [managed for row, reach in done if (managed := managed_with_offer(row, reach, top)) is not None]
    offers = [row.offered for row, _ in done if row.offered is not None and _fixed(row)]
    return PracticeDay(
        day=rows[0].day,
        observed=rows[0].source.observed,
        adults=tuple(sorted({row.adult for row in rows if row.adult})),
        turns=len({(row.source, row.adult, row.turn) for row in rows}),
        marks=len(done),
        alone=sum(reach.lo == top for _, reach in done),
        unclear=sum(reach.lo < top <= reach.hi for _, reach in done),
        helped=sum(told),
        helped_of=len(told),
        stopped=sum(reach.status is Status.REFUSED for _, reach in reaches),
        missing=sum(reach.status is Status.MISSING for _, reach in reaches),
        lowest_help=min(offers, default=None),
        highest_help=max(offers, default=None),
    )


def _fixed(entry: Entry) -> bool:
    return entry.order is OrderOfHelp.FIXED_OFFER


def managed_with_offer(entry: Entry, reach: Reach, top: int) -> bool | None:
    """Whether the help offered was enough; None where no offer is known.

    Least-to-most starts from alone, so there only *alone* counts.
    """
    if not _fixed(entry):
        return reach.lo == top
    return None if entry.offered is None else reach.lo >= entry.offered


def probes(entries: Iterable[Entry], step_ids: Sequence[str], top: int) -> tuple[Probe, ...]:
    """One value for each probe turn, in order of days."""
    rows = sorted((e for e in entries if e.source in PROBES and e.step_id in step_ids), key=_turn)
    return tuple(_probe(list(group), step_ids, top) for _, group in groupby(rows, key=_turn))


def _turn(entry: Entry) -> tuple[date, bool, str, int]:
    return entry.day, entry.source is Source.PROBE, entry.adult, entry.turn


def _probe(rows: Sequence[Entry], step_ids: Sequence[str], top: int) -> Probe:
    first = rows[0]
    seen = {row.step_id: row.reach(top).lo == top for row in rows if row.reach(top).status is Status.DONE}
    return Probe(
        day=first.day,
        turn=first.turn,
        adult=first.adult,
        baseline=first.source is Source.BASELINE,
        kind=next((row.probe for row in rows if row.probe), None),
        steps=len(step_ids),
        alone=sum(seen.values()),
        unseen=len(step_ids) - len(seen),
        stopped=any(row.outcome is Outcome.STOPPED for row in rows),
        by_step=tuple((step_id, seen[step_id]) for step_id in step_ids if step_id in seen),
        place=first.place,
    )
