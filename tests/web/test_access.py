"""Every address that shows anything of a child: a stranger gets 404, nobody signed in is sent to sign in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from bylittle.web.people.access import children_of
from bylittle.web.pictures.models import Tray
from bylittle.web.practice.models import Record
from bylittle.web.reports import services as reports
from bylittle.web.reviews.models import Carryover
from bylittle.web.scans.models import Scan
from tests import cast as people
from tests.cast import Cast

OPEN = {"ready", "sign_in", "sign_out", "first_account"}
NOBODYS = {"this_week", "child_new", "archive_in", "sheets"}
OF_THE_LIBRARY = {"library_words", "library_section"}


def patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        elif entry.name:
            yield entry


NAMES = sorted(pattern.name for pattern in patterns() if pattern.name not in OPEN | NOBODYS | OF_THE_LIBRARY)


def address(name: str, cast: Cast) -> str:
    """The address of a page about the cast's child."""
    plan = cast.skill.plans.first() or people.signed_plan(cast)
    if not Record.objects.exists():
        people.practised(cast, plan, days=1, turns=1)
    carryover = Carryover.objects.filter(skill=cast.skill).first()
    carryover = carryover or Carryover.objects.create(skill=cast.skill, due=date.today())
    report = reports.draft(cast.child, "progress-note", None, by=cast.therapist, today=date.today())
    known = {
        "child_id": cast.child.pk,
        "skill_id": cast.skill.pk,
        "plan_id": plan.pk,
        "record_id": Record.objects.latest("pk").pk,
        "carryover_id": carryover.pk,
        "language": "es",
        "section": "warm-ups",
        "report_id": report.pk,
        "screen_id": people.screened(cast).pk,
        "words": "slip",
        "ending": "pdf",
        "form": "archive",
        "number": 1,
        "scan_id": Scan.objects.create(by=cast.therapist, name="x", digest="x", plan=plan).pk,
        "kind": "home-plan",
        "paper": "a4",
    }
    made = {
        "picture_id": lambda: people.pictured(cast).pk,
        "consent_id": lambda: people.agreed(cast).pk,
        "tray_id": lambda: Tray.objects.create(by=cast.therapist, skill=cast.skill).pk,
        "photo_id": lambda: people.on_tray(cast).pk,
    }
    pattern = next(pattern for pattern in patterns() if pattern.name == name)
    wanted = pattern.pattern.converters
    return reverse(name, kwargs={key: made[key]() if key in made else known[key] for key in wanted})


def test_the_list_of_pages_is_not_empty() -> None:
    assert len(NAMES) > 15


@pytest.mark.parametrize("name", NAMES)
def test_a_stranger_is_told_that_there_is_no_such_page(name: str, cast: Cast, as_stranger: Client) -> None:
    url = address(name, cast)
    found = {method: getattr(as_stranger, method)(url).status_code for method in ("get", "post")}
    allowed = {method: status for method, status in found.items() if status != 405}
    assert allowed
    assert set(allowed.values()) == {404}


@pytest.mark.parametrize("name", [*NAMES, *sorted(NOBODYS | OF_THE_LIBRARY)])
def test_nobody_gets_in_without_signing_in(name: str, cast: Cast, client: Client) -> None:
    url = reverse(name) if name in NOBODYS else address(name, cast)
    response = client.get(url)
    assert response.status_code == 302
    assert response.url.startswith(reverse("sign_in"))


def test_a_page_without_the_child_shows_nothing_of_her(cast: Cast, as_stranger: Client) -> None:
    assert "Wren" not in as_stranger.get(reverse("this_week")).content.decode()


def test_the_team_sees_the_child_and_a_lead_sees_all(cast: Cast) -> None:
    assert [list(children_of(who)) for who in (cast.therapist, cast.assistant, cast.lead)] == [
        [cast.child]
    ] * 3
    assert not children_of(cast.stranger).exists()
