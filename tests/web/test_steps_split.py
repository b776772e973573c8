"""Steps split or put together in the editor: what was known of the old ones goes over to the new ones."""

from __future__ import annotations

import html
import re
from datetime import date

from django.test import Client
from django.urls import reverse

from bylittle.web.caseload import queries as week
from bylittle.web.reviews.advice import advised
from bylittle.web.skills.queries import latest_version
from bylittle.workflows.advise_log import AdvisedLog
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()


def found(cast: Cast) -> AdvisedLog:
    return advised(week.skills_with_all().get(pk=cast.skill.pk), TODAY)


def alone(found: AdvisedLog, step: str) -> float:
    return next(each.chances[-1][0] for each in found.steps if each.step_id == step)


def form(cast: Cast, *new: tuple[str, list[str]], out: tuple[str, ...] = ()) -> dict[str, object]:
    """The editor as a browser sends it, with further steps and the old steps that each comes from."""
    rows = list(latest_version(cast.skill).steps.all())
    sent: dict[str, object] = {"name": cast.skill.name, "fits_in": "not asked"}
    sent |= {"steps-TOTAL_FORMS": str(len(rows) + len(new)), "steps-INITIAL_FORMS": str(len(rows))}
    for number, row in enumerate(rows):
        sent |= {f"steps-{number}-{key}": getattr(row, key) for key in ("step_id", "name", "cue")}
        sent[f"steps-{number}-place"] = str(number + 1)
        if row.step_id in out:
            sent[f"steps-{number}-remove"] = "on"
    for number, (name, origin) in enumerate(new, start=len(rows)):
        sent |= {f"steps-{number}-name": name, f"steps-{number}-comes_from": origin}
        sent[f"steps-{number}-place"] = str(number + 1)
    return sent


def practised(cast: Cast) -> str:
    """The last step goes alone on ten days; its id."""
    people.practised(cast, people.signed_plan(cast, help_level=5, days_ago=14), days=10)
    return cast.skill.plans.get().steps.get(asked=True).step_id


def save(cast: Cast, client: Client, *new: tuple[str, list[str]], out: tuple[str, ...] = ()) -> None:
    response = client.post(reverse("skill_steps", args=[cast.skill.pk]), form(cast, *new, out=out))
    assert response.status_code == 302, re.sub(r"<[^>]+>", " ", response.content.decode())


def test_a_split_step_hands_over_what_was_known_of_it(cast: Cast, as_therapist: Client) -> None:
    last = practised(cast)
    before = found(cast)
    save(cast, as_therapist, ("Lift the heel", [last]), ("Push it down", [last]), out=(last,))
    version = latest_version(cast.skill)
    assert version.number == 2
    assert version.origins == {"lift-the-heel": [last], "push-it-down": [last]}
    after = found(cast)
    assert abs(alone(after, "lift-the-heel") - alone(before, last)) < 0.15
    assert after.passed_over == 0
    page = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    told = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())
    assert "“Lift the heel” took over what was known of “" in told


def test_a_new_step_of_which_nothing_is_told_starts_fresh(cast: Cast, as_therapist: Client) -> None:
    last = practised(cast)
    save(cast, as_therapist, ("Lift the heel", []), out=(last,))
    assert latest_version(cast.skill).origins == {}
    assert alone(found(cast), "lift-the-heel") < 0.5
    assert found(cast).passed_over == 30


def test_changes_of_a_version_that_nothing_rests_on_are_told_of_the_steps_before(
    cast: Cast, as_therapist: Client
) -> None:
    last = practised(cast)
    save(cast, as_therapist, ("Lift", [last]), out=(last,))
    save(cast, as_therapist, ("Lift higher", ["lift"]), ("Hold", ["lift"]), out=("lift",))
    version = latest_version(cast.skill)
    assert version.number == 2
    assert version.origins == {"lift-higher": [last], "hold": [last]}
    save(cast, as_therapist, ("Smile", []))
    assert latest_version(cast.skill).origins == {"lift-higher": [last], "hold": [last]}


def test_reworded_steps_keep_what_was_known(cast: Cast, as_therapist: Client) -> None:
    last = practised(cast)
    before = found(cast)
    sent = form(cast)
    sent["steps-5-name"] = "Stamp it down hard"
    as_therapist.post(reverse("skill_steps", args=[cast.skill.pk]), sent)
    after = found(cast)
    assert next(step.name for step in after.steps if step.step_id == last) == "Stamp it down hard"
    assert alone(after, last) == alone(before, last)


def test_a_step_that_is_not_there_is_nothing_to_come_from(cast: Cast, as_therapist: Client) -> None:
    practised(cast)
    sent = form(cast, ("Lift", ["nowhere"]))
    page = as_therapist.post(reverse("skill_steps", args=[cast.skill.pk]), sent)
    assert page.status_code == 200
    assert "not one of the available choices" in page.content.decode()
    assert latest_version(cast.skill).number == 1
