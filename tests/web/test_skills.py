"""Choosing a skill and editing its steps: what was typed stays, what was practised is never touched."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.web.plans import services as plans
from bylittle.web.skills import cues
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version, readiness_items
from tests import cast as people
from tests.cast import Cast


def form_of(skill: Skill, **changes: str) -> dict[str, str]:
    rows = list(latest_version(skill).steps.all())
    data = {
        "name": skill.name,
        "breakdown": "unknown",
        "steps-TOTAL_FORMS": str(len(rows) + 1),
        "steps-INITIAL_FORMS": str(len(rows)),
    }
    for number, row in enumerate(rows):
        data[f"steps-{number}-step_id"] = row.step_id
        data[f"steps-{number}-place"] = str(number + 1)
        data[f"steps-{number}-name"] = row.name
        data[f"steps-{number}-cue"] = row.cue
    return {**data, **changes}


def test_a_ready_skill_becomes_the_childs_own_copy(cast: Cast, as_therapist: Client) -> None:
    url = reverse("skill_choose", args=[cast.child.pk])
    as_therapist.post(url, {"ready": "wash-hands"})
    copy = Skill.objects.latest("pk")
    assert copy.child == cast.child
    assert copy.library_id == "wash-hands"
    assert copy.state == "parked"


def test_a_blank_skill_has_a_first_step(cast: Cast, as_therapist: Client) -> None:
    as_therapist.post(reverse("skill_choose", args=[cast.child.pk]), {"name": "Hang up the coat"})
    assert latest_version(Skill.objects.latest("pk")).steps.count() == 1


def test_an_over_long_cue_is_told_at_its_place_and_what_was_typed_is_kept(
    cast: Cast, as_therapist: Client
) -> None:
    long_cue = "now please pull it up with all your might"
    data = form_of(cast.skill, **{"steps-0-cue": long_cue})
    page = as_therapist.post(reverse("skill_steps", args=[cast.skill.pk]), data).content.decode()
    assert "Use one to three words" in page
    assert long_cue in page
    assert latest_version(cast.skill).steps.first().cue != long_cue


def test_steps_change_place_and_leave(cast: Cast, as_therapist: Client) -> None:
    before = [row.step_id for row in latest_version(cast.skill).steps.all()]
    changes = {"steps-0-place": "2", "steps-1-place": "1", "steps-2-remove": "on"}
    as_therapist.post(reverse("skill_steps", args=[cast.skill.pk]), form_of(cast.skill, **changes))
    after = [row.step_id for row in latest_version(cast.skill).steps.all()]
    assert after == [before[1], before[0], *before[3:]]


def test_an_unpractised_version_is_changed_in_place_a_planned_one_is_not(
    cast: Cast, as_therapist: Client
) -> None:
    url = reverse("skill_steps", args=[cast.skill.pk])
    as_therapist.post(url, form_of(cast.skill, **{"steps-0-cue": "Open"}))
    assert latest_version(cast.skill).number == 1
    people.signed_plan(cast)
    as_therapist.post(url, form_of(cast.skill, **{"steps-0-cue": "Open wide"}))
    assert latest_version(cast.skill).number == 2
    assert cast.skill.versions.first().steps.first().cue == "Open"


def test_no_step_at_all_is_refused(cast: Cast, as_therapist: Client) -> None:
    count = latest_version(cast.skill).steps.count()
    removed = {f"steps-{number}-remove": "on" for number in range(count)}
    page = as_therapist.post(reverse("skill_steps", args=[cast.skill.pk]), form_of(cast.skill, **removed))
    assert "at least one step" in page.content.decode()
    assert latest_version(cast.skill).steps.count() == count


def test_an_adaptation_stands_beside_the_plan(cast: Cast, as_therapist: Client) -> None:
    url = reverse("readiness", args=[cast.skill.pk])
    item = readiness_items(cast.skill)[0].id
    as_therapist.post(url, {f"answer_{item}": "adapted", f"adaptation_{item}": "Sit against the wall"})
    plans.draft_for(cast.skill, {})
    assert (
        "Sit against the wall"
        in as_therapist.get(reverse("plan_edit", args=[cast.skill.pk])).content.decode()
    )


def test_the_talk_keeps_the_day_and_what_the_child_loves(cast: Cast, as_therapist: Client) -> None:
    rows = {"routines-TOTAL_FORMS": "1", "routines-INITIAL_FORMS": "0", "routines-0-what": "After breakfast"}
    data = {"loves": "puddles", "mouths": "True", **rows}
    as_therapist.post(reverse("talk", args=[cast.child.pk]), data)
    cast.child.refresh_from_db()
    assert (cast.child.loves, cast.child.mouths) == ("puddles", True)
    assert [routine.what for routine in cast.child.routines.all()] == ["After breakfast"]


def test_each_language_of_the_home_is_checked_with_its_own_words(cast: Cast) -> None:
    version = latest_version(cast.skill)
    cast.child.language = "es"
    cast.child.save()
    _, second, third, *_ = rows = list(version.steps.all())
    for row in rows:
        cue = library.skill(people.READY).step(row.step_id).cue.text("es")
        row.translations = {"es": {"name": row.name, "cue": cue}}
        row.save()
    version = latest_version(cast.skill)
    assert cues.hints(version) == {}
    second.translations = {"es": {"name": second.name, "cue": "Point toes"}}
    second.save()
    third.cue = "Mete el pie"
    third.save()
    told = cues.hints(latest_version(cast.skill))
    assert set(told) == {second.step_id, third.step_id}
    assert any(words.startswith("Español: Reads like another language") for words in told[second.step_id])
    assert any(words.startswith("Reads like another language") for words in told[third.step_id])


def test_the_suggestions_stand_beside_the_steps_and_change_nothing(cast: Cast, as_therapist: Client) -> None:
    first, second, *_ = latest_version(cast.skill).steps.all()
    second.cue = f"{first.cue}!"
    second.save()
    page = as_therapist.get(reverse("skill_steps", args=[cast.skill.pk])).content.decode()
    assert "Sounds like step 1. Different words keep the two apart." in page
    second.refresh_from_db()
    assert second.cue == f"{first.cue}!"
