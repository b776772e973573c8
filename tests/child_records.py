"""One child's whole record for tests: from the demo caseload, or long, or drawn by Hypothesis."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import numpy as np
from hypothesis import strategies as st

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.child_record import ChildRecord, Rating, Written
from bylittle.core.practice.log import Change, ChangeKind
from bylittle.core.practice.marks import Outcome, Source
from bylittle.demo.child_record import child_record, long_record
from bylittle.demo.load import SEED, caseload

TODAY = date(2026, 11, 25)


@cache
def demo_records() -> dict[str, ChildRecord]:
    """The nine children of the demo by name."""
    children = caseload(TODAY, np.random.default_rng(SEED))
    return {child.name: child_record(child, number) for number, child in enumerate(children, 1)}


def example(name: str = "Wren") -> ChildRecord:
    """One child of the demo; the same value each time."""
    return demo_records()[name]


@cache
def six_months(weeks: int = 26) -> ChildRecord:
    """A child of the demo practising for half a year."""
    return long_record(TODAY, np.random.default_rng(SEED), weeks)


def full() -> ChildRecord:
    """A record that uses every kind of value: a correction, a move, ratings, scorers, a draft."""
    record = example("Otto")
    skill = record.skills[0]
    first, second = skill.practice[0].record, skill.practice[1].record
    right = replace(
        first, outcome=Outcome.STOPPED, note="it was, in truth, a stop", offered=None, needed=None
    )
    changes = (
        Written(Change(first.identity, ChangeKind.CORRECTED, "Jonah Rowe", "misread", right), 1, None),
        Written(
            Change(second.identity, ChangeKind.MOVED_AWAY, "Jonah Rowe", "other child"), 1, 1, "Jonah Rowe"
        ),
    )
    when = datetime(2026, 11, 3, 17, 30, tzinfo=UTC)
    stamped = replace(skill.practice[2], at=when, file="log.csv")
    goal = replace(
        skill.goal, ratings=(*skill.goal.ratings, Rating(TODAY - timedelta(days=2), -1, note="half"))
    )
    last = skill.plans[-1]
    draft = replace(last.plan, number=last.plan.number + 1)
    full_skill = replace(
        skill,
        practice=(*skill.practice[:2], stamped, *skill.practice[3:], *changes),
        plans=(*skill.plans, replace(last, plan=draft, signed_by="", signed_on=None, gate=None)),
        goal=goal,
        twice=((Scorer(Source.VISIT, "IF"), Scorer(Source.VISIT, "JR")),),
    )
    return replace(record, skills=(full_skill,))


words = st.text(st.characters(codec="utf-8"), max_size=20)
"""Any text that can be written as UTF-8, with its quotes, breaks and right-to-left signs."""
