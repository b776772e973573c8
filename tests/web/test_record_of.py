"""A child's whole record leaves the database as it stands there."""

from __future__ import annotations

from datetime import timedelta

from bylittle.web.practice import services as practice
from bylittle.web.practice.models import Record, Visit
from bylittle.web.practice.queries import log_of
from bylittle.web.reports.record_of import record_of
from tests import cast as people
from tests.cast import TODAY, Cast


def test_everything_of_a_child_is_in_the_record(cast: Cast) -> None:
    people.baseline(cast)
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=2, turns=1)
    practice.take_out(Record.objects.latest("pk"), by=cast.therapist, reason="another child")
    Visit.objects.create(child=cast.child, on=TODAY - timedelta(days=1), minutes=45, by=cast.therapist)
    record = record_of(cast.child)
    (skill,) = record.skills
    assert (record.child.name, [adult.initials for adult in record.adults]) == ("Wren", ["M", "D"])
    assert skill.log.entries() == log_of(cast.skill).entries()
    assert len(skill.practice) == Record.objects.count()
    assert skill.signed_plans[0].signed_by == "Ines"
    assert skill.signed_plans[0].gate is not None
    assert (record.visits[0].minutes, record.visits[0].by) == (45, "Ines")
