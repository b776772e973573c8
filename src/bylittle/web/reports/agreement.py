"""Agreement of two people who scored the same turns, told by somebody who knows that they did."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.agreement_of_log import LogAgreement, agreement_of_log, possible_scorers
from bylittle.core.faults import Fault
from bylittle.core.practice.marks import Source
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.practice.models import ScoredTwice
from bylittle.web.practice.queries import log_of
from bylittle.web.skills.models import Skill

#: Usual bars of the trade (common practice, no source): 80 % agreement on a fifth of the marks.
USUAL_SHARE, USUAL_SCORED = 0.80, 0.20


@dataclass(frozen=True, slots=True)
class Pair:
    """Two scorers in words, with what their marks say where it can be worked out."""

    key: str
    one: str
    other: str
    points: int = 0
    agreement: LogAgreement | None = None


def possible(skill: Skill) -> list[Pair]:
    """Pairs of people with marks on the same days, turns and steps: candidates, nobody said so yet."""
    known = {_key(*_scorers(row)) for row in skill.scored_twice.all()}
    pairs = [
        Pair(_key(one, two), _name(one), _name(two), n) for one, two, n in possible_scorers(log_of(skill))
    ]
    return [pair for pair in pairs if pair.key not in known]


def same_turns(skill: Skill, key: str) -> bool:
    """Keep that a possible pair scored the same turns; False for a pair that is not among them."""
    for one, two, _ in possible_scorers(log_of(skill)):
        if _key(one, two) == key:
            ScoredTwice.objects.create(
                skill=skill,
                first_source=one.source,
                first_adult=one.adult,
                second_source=two.source,
                second_adult=two.adult,
            )
            return True
    return False


def found(skill: Skill) -> list[Pair]:
    """Each pair that scored the same turns, with their agreement."""
    plan = signed_plan(plans_of(skill))
    top = (plan.ladder if plan else DEFAULT_LADDER).top
    log, pairs = log_of(skill), []
    for row in skill.scored_twice.all():
        one, two = _scorers(row)
        try:
            told: LogAgreement | None = agreement_of_log(log, one, two, top)
        except Fault:  # their marks were taken out since: the pair stays, without numbers
            told = None
        pairs.append(Pair(_key(one, two), _name(one), _name(two), agreement=told))
    return pairs


def _scorers(row: ScoredTwice) -> tuple[Scorer, Scorer]:
    first = Scorer(Source(row.first_source), row.first_adult)
    return first, Scorer(Source(row.second_source), row.second_adult)


def _key(one: Scorer, two: Scorer) -> str:
    return "|".join((one.source.value, one.adult, two.source.value, two.adult))


def _name(scorer: Scorer) -> str:
    return f"{scorer.adult or 'somebody'} ({scorer.source.value})"
