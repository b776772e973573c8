"""From photos to the printed strip of own pictures in at most 30 interactions; the editor by hand and keys.

A press, a filled field and a choice of files count one each, as a person would do them.
"""

from __future__ import annotations

import io
import re
from fractions import Fraction
from pathlib import Path

import av
import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page, expect

from bylittle.web.pictures import edits, services, working
from bylittle.web.pictures.models import Picture, TrayPhoto
from bylittle.web.plans.models import Plan
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.browser.test_five_minutes import Hands
from tests.browser.test_loop import sign_in
from tests.browser.test_pages import faults
from tests.cast import Cast

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST = 30
CHECK = "I have looked"


@pytest.fixture(autouse=True)
def no_face_net(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cover is offered in the second photo; how faces are found is tried elsewhere."""
    offered = iter([[], [edits.Box(0.4, 0.1, 0.2, 0.2)]])
    monkeypatch.setattr(services, "faces", lambda picture: next(offered, []))


@pytest.fixture
def cast(transactional_db: None) -> Cast:
    return people.gather()


def photos(folder: Path, count: int) -> list[str]:
    """Sideways as from a phone, 12 megapixels, each another shade."""
    names = []
    for number in range(count):
        picture = Image.new("RGB", (4000, 3000), (190, 180 - 8 * number, 160))
        pen = ImageDraw.Draw(picture)
        pen.rectangle((1400, 700, 2100, 2300), fill=(30, 90 + 12 * number, 70))
        notes = Image.Exif()
        notes[0x0112] = 6
        names.append(str(folder / f"IMG_{number + 1:04}.jpg"))
        picture.save(names[-1], "JPEG", exif=notes.tobytes())
    return names


def test_own_photos_become_a_printed_strip_in_few_steps(
    cast: Cast, quiet_page: Page, live_server, tmp_path: Path
) -> None:
    page, hands = quiet_page, Hands()
    plan = people.signed_plan(cast)
    count = latest_version(cast.skill).steps.count() + 1
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/children/{cast.child.pk}/")

    hands.press(page.get_by_role("link", name="Pictures", exact=True))
    hands.count += 1
    page.get_by_label("Choose photos").set_input_files(photos(tmp_path, count))
    expect(page.get_by_role("heading", name="Look at each picture")).to_be_visible(timeout=60_000)
    expect(page.locator("section.photo")).to_have_count(count)
    expect(page.get_by_text("1 place covered")).to_be_visible()
    for box in page.get_by_label(CHECK).all():
        hands.press(box)
    hands.fill(page.get_by_label("Who gave it"), "Mum")
    hands.fill(page.get_by_label("Relation to the child"), "mother")
    hands.press(page.get_by_role("button", name="Keep these pictures"))
    expect(page.get_by_role("status")).to_contain_text(f"{count} pictures are kept")
    hands.press(page.get_by_role("link", name="To the plan and its pages"))
    hands.press(page.get_by_role("button", name=f"Put {count} new pictures on this plan"))
    link = page.locator("a[href*='/print/strip-a4']")
    hands.count += 1
    strip = page.request.get(live_server.url + str(link.get_attribute("href")))

    assert strip.headers["content-type"] == "application/pdf"
    assert strip.body().count(b"/DCTDecode") == count
    assert len(strip.body()) < 2_000_000
    assert hands.count <= MOST
    assert not list(working.folder().iterdir())
    assert Plan.objects.get() == plan


def seen(page: Page) -> Image.Image:
    address = page.locator("[data-preview]").get_attribute("src")
    return Image.open(io.BytesIO(page.request.get(page.url.split("/trays/")[0] + str(address)).body()))


def open_editor(page: Page, url: str, photo: TrayPhoto) -> None:
    sign_in(page, url)
    page.goto(f"{url}/trays/photos/{photo.pk}/")
    expect(page.locator("[data-shape=square]")).to_have_attribute("role", "button")


def test_the_square_and_a_cover_are_moved_by_pointer_and_by_keys(
    cast: Cast, quiet_page: Page, live_server
) -> None:
    page, photo = quiet_page, people.on_tray(cast)
    open_editor(page, live_server.url, photo)
    side = page.locator("#id_side").input_value()
    page.get_by_role("button", name="Smaller").click()
    expect(page.locator("#id_side")).not_to_have_value(side)
    page.get_by_role("button", name="Add a cover").click()
    cover = page.locator("[data-shape='0'] rect.cover")
    cover.scroll_into_view_if_needed()
    before = cover.bounding_box()
    assert before is not None
    middle = (before["x"] + before["width"] / 2, before["y"] + before["height"] / 2)
    page.mouse.move(*middle)
    page.mouse.down()
    page.mouse.move(middle[0] + 60, middle[1] - 30, steps=4)
    page.mouse.up()
    after = cover.bounding_box()
    assert after is not None
    assert after["x"] - before["x"] == pytest.approx(60, abs=3)
    assert after["y"] - before["y"] == pytest.approx(-30, abs=3)

    square = page.locator("[data-shape=square]")
    square.focus()
    left = float(page.locator("#id_left").input_value())
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert float(page.locator("#id_left").input_value()) > left
    expect(page.locator("[data-preview]")).to_have_attribute("src", re.compile("c0-left"))
    shown = seen(page)
    page.get_by_role("button", name="Done").click()
    page.wait_for_url("**/trays/*/#photo-*")
    photo.refresh_from_db()
    kept = Image.open(io.BytesIO(edits.jpeg(photo, edits.edit_of(photo))))
    assert kept.tobytes() == shown.tobytes(), "the preview is what is kept"
    assert len(photo.covers) == 1
    assert photo.left * 100 == pytest.approx(left + 1.5, abs=0.2)


def test_a_cover_is_taken_off_by_the_delete_key(cast: Cast, quiet_page: Page, live_server) -> None:
    page, photo = quiet_page, people.on_tray(cast)
    open_editor(page, live_server.url, photo)
    page.get_by_role("button", name="Add a cover").click()
    page.locator("[data-shape='0']").focus()
    page.keyboard.press("Delete")
    expect(page.locator("[data-shape='0']")).to_have_count(0)
    photo.refresh_from_db()
    assert photo.covers == []


def test_two_quick_presses_both_count(cast: Cast, quiet_page: Page, live_server) -> None:
    page, photo = quiet_page, people.on_tray(cast)
    open_editor(page, live_server.url, photo)
    page.locator("#do-add").evaluate("button => { button.click(); button.click(); }")
    expect(page.locator("[data-shape='1']")).to_have_count(1)
    photo.refresh_from_db()
    assert len(photo.covers) == 2


def test_the_whole_way_works_without_a_script(
    cast: Cast, browser: Browser, live_server, tmp_path: Path
) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/skills/{cast.skill.pk}/pictures")
    page.get_by_label("Choose photos").set_input_files(photos(tmp_path, 2))
    page.get_by_role("button", name="Look at them").click()
    page.get_by_role("button", name="Turn, cut, lighten, cover").first.click()
    page.get_by_role("button", name="A quarter to the right").click()
    page.get_by_role("button", name="Smaller").click()
    page.get_by_role("button", name="Add a cover").click()
    page.get_by_role("button", name="Done").click()
    for box in page.get_by_label(CHECK).all():
        box.check()
    page.get_by_label("Who gave it").fill("Dad")
    page.get_by_label("Relation to the child").fill("father")
    page.get_by_role("button", name="Keep these pictures").click()
    expect(page.get_by_role("status")).to_contain_text("2 pictures are kept")
    assert Picture.objects.count() == 2
    page.context.close()


def clip(path: Path) -> str:
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=20)
        stream.width, stream.height, stream.pix_fmt = 320, 240, "yuv420p"
        stream.time_base = Fraction(1, 20)
        for number in range(60):
            frame = av.VideoFrame.from_image(Image.new("RGB", (320, 240), (number * 4,) * 3))
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return str(path)


def test_steps_are_tapped_while_the_clip_plays(
    cast: Cast, quiet_page: Page, live_server, tmp_path: Path
) -> None:
    page = quiet_page
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/skills/{cast.skill.pk}/pictures")
    page.get_by_label("Choose a clip").set_input_files(clip(tmp_path / "boot.mp4"))
    page.get_by_role("button", name="Cut it into pictures").click()
    page.evaluate(
        "() => new Promise(done => { const v = document.querySelector('video');"
        " if (v.readyState >= 2) done(); else v.oncanplay = done; })"
    )
    for second in (0.5, 2.0):
        page.evaluate(
            "at => new Promise(done => { const v = document.querySelector('video');"
            " v.onseeked = done; v.currentTime = at; })",
            second,
        )
        page.keyboard.press(" ")
    seconds = [float(field.input_value()) for field in page.locator("[data-tap]").all()[:2]]
    assert seconds == pytest.approx([0.5, 2.0], abs=0.1)
    assert faults(page) == []
    page.get_by_role("button", name="Cut the pictures").click()
    expect(page.locator("section.photo")).to_have_count(2)


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)], ids=["laptop", "phone"])
def test_the_pages_of_pictures_are_accessible_and_whole(
    size: tuple[int, int], cast: Cast, quiet_page: Page, live_server
) -> None:
    page = quiet_page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    picture = people.pictured(cast, consent=people.agreed(cast, days=5))
    plan = people.signed_plan(cast)
    photo = people.on_tray(cast)
    edits.note(photo, edits.with_cover(edits.edit_of(photo)))
    sign_in(page, live_server.url)
    found = {}
    for address in (
        f"/skills/{cast.skill.pk}/pictures",
        f"/children/{cast.child.pk}/pictures",
        f"/consents/{picture.consent_id}",
        f"/trays/{photo.tray_id}/",
        f"/trays/photos/{photo.pk}/",
        f"/plans/{plan.pk}/",
        f"/plans/{plan.pk}/look/strip-a4",
    ):
        response = page.goto(live_server.url + address)
        assert response is not None
        assert response.status == 200, address
        told = faults(page)
        if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
            told.append("wider than the screen")
        found[address] = told
    assert {address: told for address, told in found.items() if told} == {}
