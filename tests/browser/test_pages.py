"""Every page at laptop and phone size: accessible (axe-core, WCAG 2.2 AA), nothing cut off."""

from __future__ import annotations

from pathlib import Path

import axe_playwright_python
import pytest
from playwright.sync_api import Page

from bylittle.core.skill.materials import Thing
from bylittle.web.plans import services as plans
from tests import cast as people
from tests.browser.test_loop import sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

AXE = next(Path(axe_playwright_python.__file__).parent.rglob("axe.min.js")).read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
SIZES = {"laptop": (1280, 800), "phone": (390, 844)}


def addresses() -> list[str]:
    cast = people.gather()
    people.baseline(cast)
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=9)
    people.screened(cast, Thing(shape="sphere", sizes_mm={"diameter_mm": 31.0}, cord_mm=300.0), "Felt ball")
    people.looked(cast)
    people.coached(cast, plan)
    people.coached(cast, plan, "D", "partly", **{"cue-words": "not"})
    people.said(cast, "Mum", "Heave ho")
    people.said(cast, "Dad", "Off we go")
    people.waiting(cast)
    draft = plans.draft_for(cast.skill, {plan.version.steps.last().step_id: 1})
    skill, child, record = cast.skill.pk, cast.child.pk, cast.skill.records.last().pk
    return [
        "/",
        "/children/new",
        "/library/es",
        "/library/es/skill-wash-hands",
        "/library/es/warm-ups?unread",
        f"/children/{child}/",
        f"/children/{child}/edit",
        f"/children/{child}/skills/choose",
        f"/skills/{skill}/steps",
        f"/skills/{skill}/breakdown",
        f"/skills/{skill}/materials",
        f"/skills/{skill}/pictures",
        f"/skills/{skill}/coaching",
        f"/skills/{skill}/close",
        f"/skills/{skill}/said",
        f"/skills/{skill}/said/write?who=Mum",
        f"/children/{child}/parked",
        f"/children/{child}/talk",
        f"/children/{child}/pictures",
        f"/skills/{skill}/goal",
        f"/skills/{skill}/probe",
        f"/skills/{skill}/turn",
        f"/skills/{skill}/record",
        f"/skills/{skill}/import",
        f"/skills/{skill}/plan",
        f"/skills/{skill}/review",
        f"/skills/{skill}/history",
        f"/plans/{plan.pk}/",
        f"/plans/{draft.pk}/sign",
        f"/records/{record}/correct",
    ]


def faults(page: Page) -> list[str]:
    page.evaluate(AXE + ";0")
    found = page.evaluate("rules => axe.run({runOnly: rules})", RULES)
    return [f"{each['id']}: {each['nodes'][0]['target']}" for each in found["violations"]]


@pytest.mark.parametrize("size", SIZES)
def test_every_page_is_accessible_and_whole(size: str, quiet_page: Page, live_server) -> None:
    page = quiet_page
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    pages = addresses()
    sign_in(page, live_server.url)
    found: dict[str, list[str]] = {}
    for address in pages:
        response = page.goto(live_server.url + address)
        assert response is not None
        assert response.status == 200, address
        told = faults(page)
        if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
            told.append("wider than the screen")
        if told:
            found[address] = told
    assert found == {}
