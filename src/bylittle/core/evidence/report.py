"""All facts of one skill, in the order in which a report tells them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bylittle.core.evidence.agreement import double_scored, reported_and_observed
from bylittle.core.evidence.amount import amount_facts
from bylittle.core.evidence.cautions import caution_facts
from bylittle.core.evidence.change import change_facts
from bylittle.core.evidence.facts import Fact, Material
from bylittle.core.evidence.phases import phases_of
from bylittle.core.evidence.series import series_of
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Identity, PracticeLog
from bylittle.core.skill.steps import SkillVersion


def report_facts(
    log: PracticeLog,
    skill: SkillVersion,
    plans: Sequence[HomePlan],
    top: int,
    *,
    carry_over_from: date | None = None,
    versions: Sequence[tuple[date, int]] = (),
    tiers: Sequence[date] = (),
    twice: Sequence[tuple[Identity, Identity]] = (),
) -> tuple[Fact, ...]:
    """Every fact about one skill. `plans`: the signed ones; `twice`: rows that two people scored.

    `versions` and `tiers` as in `Material`. The same log gives the same facts.
    """
    series = series_of(log, skill, top)
    material = Material(series, phases_of(series, plans, carry_over_from), tuple(versions), tuple(tiers))
    return (
        *amount_facts(material),
        *change_facts(material),
        *reported_and_observed(log.entries(), top),
        *double_scored(log, twice, top),
        *caution_facts(material),
    )
