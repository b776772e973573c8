"""Signing in; a form sent after the session ran out is kept; the first account's link works once."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from bylittle.web.people.models import Person, Role, Service
from bylittle.web.people.views import first_account_key
from tests import cast as people
from tests.cast import PASSWORD, Cast


def test_a_half_finished_form_comes_back_after_signing_in(cast: Cast, client: Client) -> None:
    url = reverse("child_new")
    response = client.post(url, {"name": "Otto", "born": "", "adults": "Mum, Nana"})
    assert response.url == f"{reverse('sign_in')}?next={url}"
    page = client.get(response.url).content.decode()
    assert "What you typed is kept" in page
    client.post(reverse("sign_in"), {"username": "ines", "password": PASSWORD, "next": url})
    page = client.get(url).content.decode()
    assert 'value="Otto"' in page
    assert "Mum, Nana" in page
    assert "Otto" not in client.get(url).content.decode()


def test_a_kept_form_saves_nothing_by_itself(cast: Cast, client: Client) -> None:
    plan = people.signed_plan(cast)
    step = plan.steps.get(asked=True).step_id
    client.post(reverse("turn_new", args=[cast.skill.pk]), {f"mark_{step}": "1"})
    client.force_login(cast.therapist)
    assert not cast.skill.records.exists()


def test_a_password_is_never_kept(cast: Cast, client: Client) -> None:
    client.post(reverse("child_new"), {"name": "Otto", "password": "secret"})
    assert "secret" not in str(dict(client.session))


def test_wrong_password_says_so_kindly(cast: Cast, client: Client) -> None:
    page = client.post(reverse("sign_in"), {"username": "ines", "password": "no"}).content.decode()
    assert "do not go together" in page


@pytest.fixture
def key() -> str:
    path: Path = first_account_key(settings.DATA_DIR)
    path.write_text("once-only")
    yield "once-only"
    path.unlink(missing_ok=True)


NEW = {
    "username": "ines",
    "first_name": "Ines",
    "password1": PASSWORD,
    "password2": PASSWORD,
    "service_name": "Tern Bay",
}


@pytest.mark.django_db
def test_the_first_account_is_made_once(client: Client, key: str) -> None:
    url = reverse("first_account", args=[key])
    assert client.get(url).status_code == 200
    client.post(url, NEW)
    assert Person.objects.get().role == Role.LEAD
    assert Service.current().name == "Tern Bay"
    assert Client().get(url).status_code == 404


@pytest.mark.django_db
def test_a_wrong_key_opens_nothing(client: Client, key: str) -> None:
    assert client.get(reverse("first_account", args=["guessed"])).status_code == 404


def test_pages_forbid_foreign_scripts(client: Client, cast: Cast) -> None:
    policy = client.get(reverse("sign_in")).headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
