"""A photographed sheet in a real browser: sent in, settled by keys, accepted, seen in the record."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from bylittle.web.practice.models import Record
from tests import cast as people
from tests.browser.test_loop import sign_in
from tests.browser.test_pages import SIZES, faults
from tests.web.test_scans import photograph

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MARKS = {"d1.who1": 1.0, "d1t1.1": 1.0, "d1t1.3": 1.0, "d1t2.4": 1.0, "d2t1.5": 1.0, "way2": 1.0}


@pytest.mark.parametrize("size", SIZES)
def test_two_keys_settle_a_sheet_and_one_accepts_it(
    size: str, quiet_page: Page, live_server, tmp_path: Path
) -> None:
    page, cast = quiet_page, people.gather()
    plan = people.signed_plan(cast, days_ago=7)
    photo = tmp_path / "fridge.jpg"
    photo.write_bytes(photograph(plan, MARKS, words="boots hurt"))
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/sheets")
    assert faults(page) == []
    page.get_by_label("Photographs or scans").set_input_files(photo)
    page.get_by_role("button", name="Read them").click()
    expect(page.get_by_role("heading", name="Please settle 3")).to_be_visible()
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    page.keyboard.press("4")
    expect(page.locator("[data-left]")).to_contain_text("2 still to settle")
    page.keyboard.press("2")
    expect(page.locator("[data-left]")).to_contain_text("1 still to settle")
    page.get_by_label("What is written there").fill("Boots hurt")
    page.keyboard.press("Tab")
    expect(page.locator("[data-left]")).to_contain_text("All settled")
    page.locator('.spot[data-value="d1t2.5"]').click()
    expect(page.locator('[data-select="d1t2"]')).to_have_value("d1t2.5")
    assert faults(page) == []
    page.locator("[data-save]").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("3 marks are in the record of Wren")).to_be_visible()
    told = sorted(Record.objects.values_list("day", "turn", "needed", "adult"))
    assert [row[1:] for row in told] == [(1, 3, "M"), (2, 5, "M"), (1, 5, "D")]
    page.goto(f"{live_server.url}/skills/{cast.skill.pk}/record")
    expect(page.get_by_text("tired")).to_be_visible()
    expect(page.get_by_text("“Boots hurt”")).to_be_visible()
    assert faults(page) == []
