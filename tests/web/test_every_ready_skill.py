"""Every ready skill becomes a signed plan whose pages fit, on both papers."""

from __future__ import annotations

import pytest

from bylittle import library
from bylittle.web.plans import pages
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from bylittle.web.skills import services as skills
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast


def plan_for(cast: Cast, name: str) -> Plan:
    skill = skills.start_from_ready(cast.child, library.skill(name))
    taught = [row for row in latest_version(skill).steps.all() if not row.adult_only]
    plan = plans.draft_for(skill, {taught[-1].step_id: 1})
    plans.answer_gate(plan, people.SAFE, people.no_red_flags(), cast.therapist, "unread")
    return plans.sign(plan, cast.therapist)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_home_plan_of_every_ready_skill_is_one_page(language: str, cast: Cast) -> None:
    cast.child.language = language
    cast.child.save()
    for ready in library.skills():
        plan = plan_for(cast, ready.id)
        for paper in ("a4", "letter"):
            assert pages.pdf(plan, "home-plan", paper).startswith(b"%PDF"), (ready.id, paper)
