"""The facts a report rests on: each a code with its numbers and the data it comes from. No sentences here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from bylittle.core.evidence.phases import Phase, PhaseKind
from bylittle.core.evidence.series import PracticeDay, Probe, Series


class Kind(StrEnum):
    """Which data a fact rests on."""

    PROBES = "probes"
    PRACTICE = "practice"
    PLANS = "plans"
    AGREEMENT = "agreement"
    DESIGN = "design"


@dataclass(frozen=True, slots=True)
class Source:
    """The rows a fact can be checked against: their kind and the days they cover, both included."""

    kind: Kind
    first: date | None = None
    last: date | None = None


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing the data say. `values` are numbers, dates and names; shares are 0..1."""

    code: str
    values: Mapping[str, object] = field(default_factory=dict)
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, slots=True)
class Material:
    """All that is known of one skill: its series, its phases, and what people told beside it.

    `versions`: first day and number of steps of each version of the skill that was practised.
    `tiers`: first teaching days of the steps or skills that were started one after another (empty: one).
    """

    series: Series
    phases: tuple[Phase, ...]
    versions: tuple[tuple[date, int], ...] = ()
    tiers: tuple[date, ...] = ()

    @property
    def teaching(self) -> tuple[Phase, ...]:
        """The phases in which something was taught."""
        return tuple(phase for phase in self.phases if phase.kind is PhaseKind.TEACHING)

    @property
    def taught_from(self) -> date | None:
        """First day of teaching, None before it."""
        return self.teaching[0].first if self.teaching else None

    @property
    def before(self) -> tuple[Probe, ...]:
        """Probes of the baseline: those entered as such, and any before teaching."""
        start = self.taught_from
        return tuple(p for p in self.series.probes if p.baseline or (start is not None and p.day < start))

    @property
    def after(self) -> tuple[Probe, ...]:
        """Probes since teaching began."""
        early = set(self.before)
        return tuple(probe for probe in self.series.probes if probe not in early)


def shares(probes: Sequence[Probe]) -> list[float]:
    """Share of the child's steps done alone in each probe."""
    return [probe.share_alone for probe in probes]


def probes_source(probes: Sequence[Probe]) -> Source:
    """Where facts about these probes can be checked."""
    return _source(Kind.PROBES, [probe.day for probe in probes])


def practice_source(practice: Sequence[PracticeDay]) -> Source:
    """Where facts about this practice can be checked."""
    return _source(Kind.PRACTICE, [day.day for day in practice])


def plans_source(phases: Sequence[Phase]) -> Source:
    """Where facts about plans can be checked."""
    return _source(Kind.PLANS, [phase.first for phase in phases])


def _source(kind: Kind, days: Sequence[date]) -> Source:
    return Source(kind, min(days, default=None), max(days, default=None))
