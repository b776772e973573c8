"""Pictures of the child's own things: seen before kept, covered for good, printed while allowed."""

from __future__ import annotations

import io
import os
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
import pypdfium2
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from bylittle.library import objects
from bylittle.printing.pictures import FINISH_FRAME
from bylittle.reading.photos.boxes import Box
from bylittle.reading.photos.finish import Crop
from bylittle.web.pictures import edits, places, queries, services, tidy, working
from bylittle.web.pictures.models import Consent, Picture, Tray, TrayPhoto
from bylittle.web.plans import own_pictures, pages
from bylittle.web.plans import services as plans
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()
MUM = {
    "which": "new",
    "given_by": "Mum",
    "relation": "mother",
    "purpose": "home",
    "given_on": TODAY.isoformat(),
    "until": (TODAY + timedelta(days=100)).isoformat(),
}
HALVES = ((200, 30, 30), (30, 40, 200))


@pytest.fixture(autouse=True)
def no_face_is_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Quick; how faces are found is tried with the reader, and what is done with one further down."""
    monkeypatch.setattr(services, "faces", lambda picture: [])


@pytest.fixture(autouse=True)
def no_working_copy_is_left_to_other_tests() -> Iterator[None]:
    yield
    working.drop_older_than(-1)


def sent(client: Client, cast: Cast, *files: bytes, **other: str) -> Any:
    uploads = [
        SimpleUploadedFile(f"photo{number}.jpg", data, "image/jpeg") for number, data in enumerate(files)
    ]
    return client.post(
        reverse("skill_pictures", args=[cast.skill.pk]), {"photos": uploads, **other}, follow=True
    )


def typed(tray: Tray, **changed: str) -> dict[str, str]:
    """The tray's form as the page fills it, all looked at, under a new consent of Mum."""
    told = dict(MUM)
    for photo in tray.photos.all():
        told[f"p{photo.pk}-place"] = photo.place
        told[f"p{photo.pk}-looked"] = "on"
        for language, shows in photo.shows.items():
            told[f"p{photo.pk}-shows_{language}"] = shows
    return {**told, **changed}


def keep(client: Client, tray: Tray, **changed: str) -> Any:
    return client.post(reverse("picture_tray", args=[tray.pk]), typed(tray, **changed), follow=True)


def sideways() -> bytes:
    """Red above blue once it is turned as the camera says; with the camera's notes and a place on earth."""
    picture = Image.new("RGB", (400, 400), HALVES[0])
    picture.paste(HALVES[1], (0, 200, 400, 400))
    notes = Image.Exif()
    notes[0x0112] = 6
    notes.get_ifd(0x8825)[2] = (54.0, 30.0, 0.0)
    out = io.BytesIO()
    picture.transpose(Image.Transpose.ROTATE_90).save(out, "JPEG", exif=notes.tobytes())
    return out.getvalue()


def opened(data: Any) -> Image.Image:
    return Image.open(io.BytesIO(bytes(data)))


def close(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) < 30


# in and kept


def test_photos_go_to_the_steps_in_their_order(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, *[people.photo_of_a_boot()] * 3)
    ids = [row.step_id for row in latest_version(cast.skill).steps.all()]
    tray = Tray.objects.get()
    assert [photo.place for photo in tray.photos.all()] == ids[:3]
    names = [row.name for row in latest_version(cast.skill).steps.all()]
    assert [photo.shows for photo in tray.photos.all()] == [{"en": name} for name in names[:3]]


def test_the_next_photos_go_where_there_is_none_yet(cast: Cast, as_therapist: Client) -> None:
    people.pictured(cast)
    sent(as_therapist, cast, *[people.photo_of_a_boot()] * 2)
    ids = [row.step_id for row in latest_version(cast.skill).steps.all()]
    assert [photo.place for photo in TrayPhoto.objects.all()] == ids[1:3]


def test_a_photo_for_one_place_goes_there(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, people.photo_of_a_boot(), place=FINISH_FRAME)
    assert TrayPhoto.objects.get().place == FINISH_FRAME


def test_what_is_seen_before_is_what_is_kept(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    seen = as_therapist.get(reverse("picture_preview", args=[photo.pk])).content
    keep(as_therapist, photo.tray)
    kept = Picture.objects.get()
    assert bytes(kept.photo) == seen
    assert as_therapist.get(reverse("picture_file", args=[kept.pk])).content == seen


def test_a_sideways_photo_is_kept_upright_without_place_or_camera(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, sideways())
    keep(as_therapist, Tray.objects.get())
    picture = opened(Picture.objects.get().photo)
    assert not picture.getexif()
    wide, high = picture.size
    assert wide == high
    above, below = picture.getpixel((wide // 2, high // 4)), picture.getpixel((wide // 2, high * 3 // 4))
    assert close(above, HALVES[0])
    assert close(below, HALVES[1])


def moving() -> bytes:
    out = io.BytesIO()
    frames = [Image.new("P", (80, 80), shade) for shade in (0, 1)]
    frames[0].save(out, "GIF", save_all=True, append_images=frames[1:])
    return out.getvalue()


@pytest.mark.parametrize(
    "bad", [b"no picture", people.photo_of_a_boot()[:900], moving(), b""], ids=["text", "cut", "moves", "0"]
)
def test_a_bad_file_is_told_by_name_and_loses_no_other(bad: bytes, cast: Cast, as_therapist: Client) -> None:
    page = sent(as_therapist, cast, bad, people.photo_of_a_boot()).content.decode()
    assert "photo0.jpg was not taken." in page
    assert "photo1.jpg was not taken." not in page
    assert TrayPhoto.objects.count() == 1


def test_a_bad_file_alone_leaves_no_tray(cast: Cast, as_therapist: Client) -> None:
    assert "was not taken" in sent(as_therapist, cast, b"no picture").content.decode()
    assert not Tray.objects.exists()


def test_a_script_that_sends_one_by_one_is_told_where_to_go_on(cast: Cast, as_therapist: Client) -> None:
    file = SimpleUploadedFile("boot.jpg", people.photo_of_a_boot(), "image/jpeg")
    url = reverse("skill_pictures", args=[cast.skill.pk])
    answer = as_therapist.post(url, {"photos": file}, headers={"Accept": "application/json"}).json()
    file.seek(0)
    as_therapist.post(answer["more"], {"photos": file}, headers={"Accept": "application/json"})
    assert Tray.objects.get().photos.count() == 2
    assert answer["next"] == reverse("picture_tray", args=[Tray.objects.get().pk])


# nothing is kept that is not whole, and nothing typed is lost


@pytest.mark.parametrize(
    ("part", "value", "told"),
    [
        ("looked", "", "Please look at the picture closely"),
        ("shows_en", " ", "Please say what the picture shows"),
        ("place", "", "Choose where it goes"),
    ],
)
def test_a_photo_that_lacks_something_is_not_kept(
    part: str, value: str, told: str, cast: Cast, as_therapist: Client
) -> None:
    photo = people.on_tray(cast)
    page = keep(as_therapist, photo.tray, **{f"p{photo.pk}-{part}": value}).content.decode()
    assert told in page
    assert not Picture.objects.exists()
    assert TrayPhoto.objects.filter(pk=photo.pk).exists()
    assert 'value="Mum"' in page


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"given_by": ""}, "who allowed it"),
        ({"relation": ""}, "how they belong to the child"),
        ({"until": ""}, "needs a last day"),
        ({"until": (TODAY - timedelta(days=1)).isoformat()}, "This day is past"),
        ({"until": (TODAY + timedelta(days=900)).isoformat()}, "Two years at most"),
        ({"given_on": (TODAY + timedelta(days=2)).isoformat()}, "still to come"),
    ],
)
def test_nothing_is_kept_without_a_whole_consent(
    changed: dict[str, str], told: str, cast: Cast, as_therapist: Client
) -> None:
    photo = people.on_tray(cast)
    assert told in keep(as_therapist, photo.tray, **changed).content.decode()
    assert not Picture.objects.exists()
    assert not Consent.objects.exists()


def test_a_last_day_is_proposed(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    page = as_therapist.get(reverse("picture_tray", args=[photo.tray_id])).content.decode()
    assert (TODAY + timedelta(days=182)).isoformat() in page


def test_two_photos_never_go_to_one_place(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, *[people.photo_of_a_boot()] * 2)
    tray = Tray.objects.get()
    first, second = tray.photos.all()
    words = {f"p{second.pk}-place": first.place, f"p{second.pk}-shows_en": "A hand at the boot"}
    page = keep(as_therapist, tray, **words).content.decode()
    assert "Another photo goes there already" in page
    assert not Picture.objects.exists()


def test_words_follow_a_photo_to_another_step_and_are_read_again(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    other = latest_version(cast.skill).steps.last()
    page = keep(as_therapist, photo.tray, **{f"p{photo.pk}-place": other.step_id}).content.decode()
    photo.refresh_from_db()
    assert photo.shows == {"en": other.name}
    assert "read them again" in page
    assert not Picture.objects.exists()
    keep(as_therapist, photo.tray)
    assert Picture.objects.get().place == other.step_id


def test_own_words_stay_when_the_photo_goes_elsewhere(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    other = latest_version(cast.skill).steps.last()
    told = {f"p{photo.pk}-place": other.step_id, f"p{photo.pk}-shows_en": "Wren’s green boot"}
    keep(as_therapist, photo.tray, **told)
    assert Picture.objects.get().shows == {"en": "Wren’s green boot"}


def test_what_was_typed_waits_while_a_photo_is_edited(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    answer = as_therapist.post(
        reverse("picture_tray", args=[photo.tray_id]),
        typed(photo.tray, edit=str(photo.pk), **{f"p{photo.pk}-shows_en": "A green boot"}),
    )
    assert answer.url == reverse("picture_edit", args=[photo.pk])
    page = as_therapist.get(reverse("picture_tray", args=[photo.tray_id])).content.decode()
    assert "A green boot" in page
    assert 'value="Mum"' in page


def test_a_tray_is_kept_once_however_often_it_is_sent(cast: Cast) -> None:
    tray, again = people.on_tray(cast).tray, Tray.objects.get()
    consent = people.agreed(cast)
    assert len(services.keep(tray, consent, cast.therapist)) == 1
    assert services.keep(again, consent, cast.therapist) == []


def test_a_picture_nobody_ticked_is_not_ticked_later(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    box = f'name="p{photo.pk}-looked"'
    for ticked in ("on", ""):
        told = typed(photo.tray, edit=str(photo.pk), **{f"p{photo.pk}-looked": ticked})
        as_therapist.post(reverse("picture_tray", args=[photo.tray_id]), told)
        page = as_therapist.get(reverse("picture_tray", args=[photo.tray_id])).content.decode()
        (tag,) = (each for each in page.split("<input") if box in each.split(">")[0])
        assert ("checked" in tag.split(">")[0]) == bool(ticked)


# uncovered photos are seen by nobody else and do not stay


@pytest.mark.parametrize("who", ["assistant", "lead", "stranger"])
def test_only_the_sender_sees_what_is_not_kept_yet(who: str, cast: Cast, client: Client) -> None:
    photo = people.on_tray(cast)
    client.force_login(getattr(cast, who))
    for name, number in (
        ("picture_whole", photo.pk),
        ("picture_preview", photo.pk),
        ("picture_edit", photo.pk),
        ("picture_tray", photo.tray_id),
    ):
        assert client.get(reverse(name, args=[number])).status_code == 404


def test_the_sender_sees_the_whole_photo_and_no_cache_keeps_it(cast: Cast, as_therapist: Client) -> None:
    answer = as_therapist.get(reverse("picture_whole", args=[people.on_tray(cast).pk]))
    assert opened(answer.content).size == (640, 480)
    assert "no-store" in answer.headers["Cache-Control"]


def files() -> int:
    return len(list(working.folder().iterdir()))


def test_the_photos_are_gone_once_kept(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    assert files() == 1
    keep(as_therapist, photo.tray)
    assert files() == 0
    assert not TrayPhoto.objects.exists()


def test_the_photos_are_gone_once_thrown_away(cast: Cast, as_therapist: Client) -> None:
    tray = people.on_tray(cast).tray
    as_therapist.post(reverse("picture_tray_drop", args=[tray.pk]))
    assert (files(), Tray.objects.count()) == (0, 0)


def test_one_photo_thrown_away_leaves_the_others(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, *[people.photo_of_a_boot()] * 2)
    tray = Tray.objects.get()
    keep(as_therapist, tray, drop=str(tray.photos.first().pk))
    assert (files(), tray.photos.count()) == (1, 1)


def test_forgotten_photos_are_dropped_by_age(cast: Cast, settings: Any) -> None:
    photo = people.on_tray(cast)
    assert tidy.forget_working_copies() == 0
    long_ago = time.time() - settings.WORKING_COPY_HOURS * 3600 - 60
    os.utime(working.path(photo.file), (long_ago, long_ago))
    Tray.objects.update(at=photo.tray.at - timedelta(hours=settings.WORKING_COPY_HOURS, minutes=1))
    assert tidy.forget_working_copies() == 1
    assert (files(), Tray.objects.count()) == (0, 0)


def test_a_stray_file_is_dropped_by_age_too(cast: Cast, settings: Any) -> None:
    stray = working.path(working.put([b"left by a power cut"], "jpg"))
    long_ago = time.time() - settings.WORKING_COPY_HOURS * 3600 - 60
    os.utime(stray, (long_ago, long_ago))
    tidy.forget_working_copies()
    assert not stray.exists()


# faces are offered and covered for good


FOUND = Box(0.5, 0.25, 0.2, 0.2)


def grain() -> bytes:
    out = io.BytesIO()
    noise = np.random.default_rng(7).integers(0, 256, (480, 480, 3), dtype=np.uint8)
    Image.fromarray(noise).save(out, "PNG")
    return out.getvalue()


def test_a_face_that_is_found_is_covered_in_what_is_kept(
    cast: Cast, as_therapist: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(services, "faces", lambda picture: [FOUND])
    page = sent(as_therapist, cast, grain()).content.decode()
    assert "1 place covered" in page
    keep(as_therapist, Tray.objects.get())
    seen = np.asarray(opened(Picture.objects.get().photo).convert("L"), float)
    side = seen.shape[0]
    block = seen[int(0.28 * side) : int(0.30 * side), int(0.53 * side) : int(0.55 * side)]
    assert block.std() < 6
    assert seen[int(0.7 * side) : int(0.9 * side)].std() > 30


def test_covers_are_taken_off_moved_and_added_without_a_script(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    url = reverse("picture_edit", args=[photo.pk])
    numbers = {"left": "12.5", "top": "0", "side": "100", "lighter": "0"}
    as_therapist.post(url, {**numbers, "do": "add"})
    as_therapist.post(
        url,
        {
            **numbers,
            "c0-left": "10",
            "c0-top": "20",
            "c0-width": "30",
            "c0-height": "25",
            "do": "show",
        },
    )
    photo.refresh_from_db()
    assert photo.covers == [pytest.approx([0.1, 0.2, 0.3, 0.25])]
    as_therapist.post(url, {**numbers, "c0-left": "10", "c0-top": "20", "do": "show"})
    photo.refresh_from_db()
    assert photo.covers == [pytest.approx([0.1, 0.2, 0.3, 0.25])], "half a box is never a box left out"
    as_therapist.post(
        url,
        {**numbers, "c0-left": "10", "c0-top": "20", "c0-width": "30", "c0-height": "25", "do": "off-0"},
    )
    photo.refresh_from_db()
    assert photo.covers == []


def test_every_button_of_the_editor_works_without_a_script(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    url = reverse("picture_edit", args=[photo.pk])
    start = edits.edit_of(photo)
    numbers = {"left": "12.5", "top": "0", "side": "60", "lighter": "0"}
    for act in ("turn", "left", "right", "up", "down", "smaller", "larger", "lighter"):
        assert as_therapist.post(url, {**numbers, "do": act}).status_code == 200
        photo.refresh_from_db()
        assert edits.edit_of(photo) != start, act
    done = as_therapist.post(url, {**numbers, "do": "done"})
    assert done.url.startswith(reverse("picture_tray", args=[photo.tray_id]))


def test_an_edit_asks_for_another_look(cast: Cast, as_therapist: Client) -> None:
    photo = people.on_tray(cast)
    TrayPhoto.objects.update(looked=True)
    numbers = {"left": "0", "top": "0", "side": "60", "lighter": "40"}
    as_therapist.post(reverse("picture_edit", args=[photo.pk]), {**numbers, "do": "done"})
    photo.refresh_from_db()
    assert not photo.looked


@pytest.mark.parametrize(
    ("name", "value"), [("side", "2"), ("left", "much"), ("side", "nan"), ("lighter", "900")]
)
def test_numbers_that_make_no_picture_are_told_and_nothing_changes(
    name: str, value: str, cast: Cast, as_therapist: Client
) -> None:
    photo = people.on_tray(cast)
    before = edits.edit_of(photo)
    numbers = {"left": "10", "top": "0", "side": "80", "lighter": "0", name: value}
    page = as_therapist.post(reverse("picture_edit", args=[photo.pk]), {**numbers, "do": "done"})
    assert page.status_code == 200
    assert 'role="alert"' in page.content.decode()
    photo.refresh_from_db()
    assert edits.edit_of(photo) == before


shares = st.floats(0, 0.9)
an_edit = st.builds(
    lambda wide, high, left, top, side, box: edits.inside(
        edits.Edit(wide, high, 0, Crop(left, top, side), 0, (Box(*box),))
    ),
    st.integers(200, 1600),
    st.integers(200, 1600),
    shares,
    shares,
    st.floats(0.4, 1),
    st.tuples(shares, shares, st.floats(0.05, 0.1), st.floats(0.05, 0.1)),
)


@given(an_edit)
@settings(max_examples=40)
def test_four_quarters_are_none(edit: edits.Edit) -> None:
    after = edit
    for _ in range(4):
        after = edits.turned(after)
    assert (after.width, after.height, after.turns) == (edit.width, edit.height, 0)
    assert np.allclose(
        [after.square.left, after.square.top, after.square.side],
        [edit.square.left, edit.square.top, edit.square.side],
    )
    (cover,), (before,) = after.covers, edit.covers
    assert np.allclose(
        [cover.left, cover.top, cover.width, cover.height],
        [before.left, before.top, before.width, before.height],
    )


@given(an_edit, st.lists(st.sampled_from(["left", "right", "up", "down", "larger", "smaller", "turn"])))
@settings(max_examples=40)
def test_the_square_never_leaves_the_picture(edit: edits.Edit, acts: list[str]) -> None:
    for act in acts:
        edit = edits.acted(edit, act)
        square, side = edit.square, edit.side_px
        assert side >= 63.9
        assert square.left >= -1e-9
        assert square.left * edit.width + side <= edit.width + 1e-6
        assert square.top >= -1e-9
        assert square.top * edit.height + side <= edit.height + 1e-6


def test_a_turn_takes_the_same_picture_and_covers_along(cast: Cast, as_therapist: Client) -> None:
    sent(as_therapist, cast, grain())
    photo = TrayPhoto.objects.get()
    edit = replace(edits.edit_of(photo), square=Crop(0.1, 0.2, 0.7), covers=(Box(0.3, 0.3, 0.2, 0.2),))
    upright, turned = opened(edits.jpeg(photo, edit)), opened(edits.jpeg(photo, edits.turned(edit)))
    back = np.asarray(turned.transpose(Image.Transpose.ROTATE_90), float)
    assert np.abs(np.asarray(upright, float) - back).mean() < 12, "fine noise, written twice as JPEG"
    side = upright.size[0]  # the cover begins at (0.2 / 0.7, 0.1 / 0.7) of the square and is 0.2 / 0.7 wide
    place = slice(int(0.20 * side), int(0.38 * side)), slice(int(0.32 * side), int(0.52 * side))
    for seen in (np.asarray(upright, float), back):
        assert np.abs(np.diff(seen[place].mean(axis=2), axis=0)).mean() < 5, "covered"
        assert np.abs(np.diff(seen[int(0.6 * side) :].mean(axis=2), axis=0)).mean() > 15, "not covered"


# printed while the consent stands


def photos(plan: Any, kind: str = "strip") -> int:
    """How many photographs stand in the printed file: drawings are lines, photos are JPEG streams."""
    return pages.pdf(plan, kind, "a4").count(b"/DCTDecode")


def test_own_pictures_are_printed_and_the_drawing_returns(cast: Cast) -> None:
    drawn = people.signed_plan(cast)
    picture = people.pictured(cast, latest_version(cast.skill).steps.last().step_id)
    plan = people.signed_plan(cast, days_ago=3)
    assert photos(drawn) == 0
    assert [photos(plan, kind) for kind in ("strip", "home-plan", "cards", "tonight")] == [1, 1, 1, 1]
    services.withdraw(picture.consent, cast.therapist, TODAY)
    assert [photos(plan, kind) for kind in ("strip", "home-plan", "cards", "tonight")] == [0, 0, 0, 0]
    assert places.for_print(own_pictures.chosen(plan), TODAY) == {}


def test_the_last_day_is_printed_and_the_next_is_not(cast: Cast) -> None:
    picture = people.pictured(cast, consent=people.agreed(cast, days=5))
    pictures = queries.current(cast.skill)
    last = picture.consent.until
    assert list(places.for_print(pictures, last)) == [picture.place]
    assert places.for_print(pictures, last + timedelta(days=1)) == {}


def test_the_finish_frame_can_be_an_own_picture(cast: Cast) -> None:
    plan = plans.draft_for(cast.skill, {latest_version(cast.skill).steps.last().step_id: 1})
    assert photos(plan) == 0
    people.pictured(cast, FINISH_FRAME)
    assert photos(plan) == 1
    assert photos(plan, "home-plan") == 0, "the home plan has no finish frame"


def test_pages_say_before_and_after_that_a_consent_ends(cast: Cast, as_therapist: Client) -> None:
    picture = people.pictured(cast, consent=people.agreed(cast, days=9))
    plan = people.signed_plan(cast)
    addresses = [
        reverse("skill_pictures", args=[cast.skill.pk]),
        reverse("plan", args=[plan.pk]),
        reverse("child_pictures", args=[cast.child.pk]),
    ]
    for address in addresses:
        assert "The consent of Mum (mother) ends" in as_therapist.get(address).content.decode()
    page = as_therapist.get(reverse("child", args=[cast.child.pk])).content.decode()
    assert "the consent of 1 ends soon" in page
    Consent.objects.update(
        given_on=TODAY - timedelta(days=30), until=TODAY - timedelta(days=1), withdrawn_on=None
    )
    assert "may not be printed any more" in as_therapist.get(addresses[1]).content.decode()
    assert "consent ended" in as_therapist.get(addresses[0]).content.decode()
    assert as_therapist.get(reverse("picture_file", args=[picture.pk])).status_code == 404


def test_a_signed_plan_keeps_the_pictures_it_was_signed_with(cast: Cast, client: Client) -> None:
    first = people.pictured(cast)
    plan = people.signed_plan(cast)
    second = people.pictured(cast, first.place)
    assert own_pictures.chosen(plan) == {first.place: first}
    assert queries.current(cast.skill) == {first.place: second}
    client.force_login(cast.assistant)
    assert client.post(reverse("plan_pictures", args=[plan.pk])).status_code == 403
    client.force_login(cast.therapist)
    client.post(reverse("plan_pictures", args=[plan.pk]))
    assert own_pictures.chosen(plan) == {first.place: second}
    assert own_pictures.newer(plan, TODAY) == 0


def test_a_withdrawn_picture_is_not_signed_onto_a_plan(cast: Cast) -> None:
    picture = people.pictured(cast)
    services.withdraw(picture.consent, cast.therapist, TODAY)
    assert own_pictures.recorded(people.signed_plan(cast)) == {}


def test_a_new_consent_brings_the_pictures_back(cast: Cast, as_therapist: Client) -> None:
    picture = people.pictured(cast)
    plan = people.signed_plan(cast)
    as_therapist.post(reverse("consent_withdraw", args=[picture.consent_id]))
    assert places.for_print(own_pictures.chosen(plan), TODAY) == {}
    told = {name: value for name, value in MUM.items() if name != "which"}
    as_therapist.post(reverse("consent", args=[picture.consent_id]), told)
    assert list(places.for_print(own_pictures.chosen(plan), TODAY)) == [picture.place]
    old = Consent.objects.get(pk=picture.consent_id)
    assert old.withdrawn_on == TODAY
    assert old.renewed.get().pictures.get() == picture


def test_more_photos_may_go_under_a_consent_that_stands(cast: Cast, as_therapist: Client) -> None:
    consent = people.agreed(cast)
    tray = people.on_tray(cast).tray
    page = as_therapist.get(reverse("picture_tray", args=[tray.pk])).content.decode()
    assert "Mum (mother)" in page
    keep(as_therapist, tray, which=str(consent.pk), given_by="", relation="", until="")
    assert Picture.objects.get().consent == consent
    assert Consent.objects.count() == 1


def test_a_consent_of_another_child_is_no_choice(cast: Cast, as_therapist: Client) -> None:
    other = people.Child.objects.create(name="Otto", born=TODAY - timedelta(days=1500))
    consent = people.agreed(cast)
    Consent.objects.update(child=other)
    people.agreed(cast)
    tray = people.on_tray(cast).tray
    keep(as_therapist, tray, which=str(consent.pk))
    assert not Picture.objects.exists()


def test_a_picture_deleted_is_gone_for_good(cast: Cast, as_therapist: Client) -> None:
    picture = people.pictured(cast)
    plan = people.signed_plan(cast)
    as_therapist.post(reverse("picture_delete", args=[picture.pk]))
    picture.refresh_from_db()
    assert picture.photo is None
    assert (picture.deleted_on, picture.deleted_by) == (TODAY, cast.therapist)
    assert as_therapist.get(reverse("picture_file", args=[picture.pk])).status_code == 404
    assert places.for_print(own_pictures.chosen(plan), TODAY) == {}
    assert photos(plan) == 0


def test_all_pictures_of_a_consent_are_deleted_at_once(cast: Cast, as_therapist: Client) -> None:
    first = people.pictured(cast)
    other, kept = people.pictured(cast, consent=first.consent), people.pictured(cast)
    as_therapist.post(reverse("consent_clear", args=[first.consent_id]))
    assert list(Picture.objects.filter(photo=None)) == [first, other]
    assert queries.current(cast.skill) == {kept.place: kept}


def test_a_picture_deleted_does_not_bring_an_older_one_back(cast: Cast, as_therapist: Client) -> None:
    first = people.pictured(cast)
    second = people.pictured(cast, first.place)
    as_therapist.post(reverse("picture_delete", args=[second.pk]))
    assert queries.current(cast.skill) == {}


def put_thing(client: Client, cast: Cast, place: str, thing: str) -> Any:
    url = reverse("picture_thing", args=[cast.skill.pk])
    return client.post(url, {"place": place, "thing": thing}, follow=True)


def test_a_thing_of_the_open_set_is_printed_with_its_credit(cast: Cast, as_therapist: Client) -> None:
    step = latest_version(cast.skill).steps.last().step_id
    page = put_thing(as_therapist, cast, step, "boot").content.decode()
    assert "CC BY-SA" in page
    plan = people.signed_plan(cast)
    shown = places.for_print(own_pictures.chosen(plan), TODAY)[step]
    assert shown.told("en") == objects.thing("boot").alt["en"]
    text = pypdfium2.PdfDocument(pages.pdf(plan, "strip", "a4"))[0].get_textpage().get_text_bounded()
    assert "CC BY-SA" in text
    assert "CC BY-SA" in as_therapist.get(reverse("plan", args=[plan.pk])).content.decode()


def test_a_thing_is_taken_off_again_and_asks_for_no_consent(cast: Cast, as_therapist: Client) -> None:
    put_thing(as_therapist, cast, FINISH_FRAME, "sun")
    thing = Picture.objects.get()
    assert (thing.consent, thing.photo) == (None, None)
    as_therapist.post(reverse("picture_delete", args=[thing.pk]))
    assert queries.current(cast.skill) == {}


@pytest.mark.parametrize(("place", "thing"), [("nowhere", "boot"), (FINISH_FRAME, "dragon")])
def test_a_thing_or_place_there_is_not_changes_nothing(
    place: str, thing: str, cast: Cast, as_therapist: Client
) -> None:
    assert "Nothing was changed" in put_thing(as_therapist, cast, place, thing).content.decode()
    assert not Picture.objects.exists()


def test_a_step_without_any_picture_is_told_and_gets_an_empty_frame(cast: Cast, as_therapist: Client) -> None:
    skill = people.skills.start_blank(cast.child, "Zip a tent")
    page = as_therapist.get(reverse("skill_pictures", args=[skill.pk])).content.decode()
    assert "an empty frame to stick one into" in page


def test_a_family_of_two_languages_is_told_in_both(cast: Cast, as_therapist: Client) -> None:
    cast.child.language, cast.child.second_language = "es", "en"
    cast.child.save()
    photo = people.on_tray(cast)
    assert photo.shows == {"es": "Abrir la bota", "en": "Open the boot"}
    page = as_therapist.get(reverse("picture_tray", args=[photo.tray_id])).content.decode()
    assert "What the picture shows, in Spanish" in page
    keep(as_therapist, photo.tray)
    shown = places.for_print(queries.current(cast.skill), TODAY)[photo.place]
    assert (shown.told("es"), shown.told("en")) == ("Abrir la bota", "Open the boot")


def test_the_pages_are_seen_as_they_print(cast: Cast, as_therapist: Client) -> None:
    people.pictured(cast)
    plan = people.signed_plan(cast)
    page = as_therapist.get(reverse("plan_look", args=[plan.pk, "strip", "a4"])).content.decode()
    picture = reverse("plan_look_page", args=[plan.pk, "strip", "a4", 1])
    assert picture in page
    assert opened(as_therapist.get(picture).content).format == "PNG"
    nine = reverse("plan_look_page", args=[plan.pk, "strip", "a4", 9])
    assert as_therapist.get(nine).status_code == 404


def test_no_page_with_own_pictures_is_over_two_megabytes(cast: Cast, as_therapist: Client) -> None:
    for _ in places.keys(latest_version(cast.skill)):
        sent(as_therapist, cast, grain())
        keep(as_therapist, Tray.objects.get())
    plan = people.signed_plan(cast)
    assert len(own_pictures.recorded(plan)) == len(places.keys(plan.version))
    assert len(pages.pdf(plan, "tonight", "a4")) < 2_000_000


# a clip


def clip(seconds: int, rate: int = 10) -> bytes:
    """A clip that grows lighter; two pictures only where it is long."""
    held = io.BytesIO()
    with av.open(held, "w", format="mp4") as container:
        stream = container.add_stream("libx264", rate=rate)
        stream.width, stream.height, stream.pix_fmt = 160, 120, "yuv420p"
        stream.time_base = Fraction(1, rate)
        last = seconds * rate
        for number in range(0, last + 1, last if seconds > 60 else 1):
            frame = av.VideoFrame.from_image(Image.new("RGB", (160, 120), (number * 255 // last,) * 3))
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return held.getvalue()


def send_clip(client: Client, cast: Cast, data: bytes) -> Any:
    file = SimpleUploadedFile("wren.mp4", data, "video/mp4")
    return client.post(reverse("clip_new", args=[cast.skill.pk]), {"clip": file}, follow=True)


def test_the_pictures_near_the_taps_become_the_steps_pictures(cast: Cast, as_therapist: Client) -> None:
    send_clip(as_therapist, cast, clip(4))
    tray = Tray.objects.get()
    page = as_therapist.post(reverse("picture_clip", args=[tray.pk]), {"t0": "0.2", "t2": "3.8"}, follow=True)
    assert "Look at each picture" in page.content.decode()
    ids = places.keys(latest_version(cast.skill))
    assert [photo.place for photo in tray.photos.all()] == [ids[0], ids[2]]
    keep(as_therapist, tray)
    light = [np.asarray(opened(each.photo).convert("L")).mean() for each in Picture.objects.all()]
    assert light[0] < 60
    assert light[1] > 190
    assert Consent.objects.count() == 1
    assert all(each.from_clip for each in Picture.objects.all())
    assert files() == 0, "the clip is dropped"


def test_taps_can_be_put_right(cast: Cast, as_therapist: Client) -> None:
    send_clip(as_therapist, cast, clip(4))
    tray = Tray.objects.get()
    url = reverse("picture_clip", args=[tray.pk])
    as_therapist.post(url, {"t0": "0.2", "t1": "1"})
    as_therapist.post(url, {"t0": "3"})
    assert tray.photos.count() == 1
    assert files() == 2


@pytest.mark.parametrize(
    ("data", "told"),
    [(clip(7200), "lasts 120 minutes"), (b"no clip at all", "could not be opened as a clip")],
    ids=["two hours", "text"],
)
def test_a_clip_that_cannot_be_taken_is_told(
    data: bytes, told: str, cast: Cast, as_therapist: Client
) -> None:
    assert told in send_clip(as_therapist, cast, data).content.decode()
    assert not Tray.objects.exists()
    assert files() == 0


def test_a_tap_where_the_clip_has_no_picture_is_told(cast: Cast, as_therapist: Client) -> None:
    send_clip(as_therapist, cast, clip(4))
    url = reverse("picture_clip", args=[Tray.objects.get().pk])
    assert "no picture at 60" in as_therapist.post(url, {"t0": "1", "t1": "60"}).content.decode()
    assert "for one step at least" in as_therapist.post(url, {}).content.decode()
    assert not TrayPhoto.objects.exists()


def test_the_player_is_given_the_part_it_asks_for(cast: Cast, as_therapist: Client, client: Client) -> None:
    data = clip(4)
    send_clip(as_therapist, cast, data)
    url = reverse("picture_clip_file", args=[Tray.objects.get().pk])
    whole = as_therapist.get(url)
    assert b"".join(whole.streaming_content) == data
    part = as_therapist.get(url, headers={"Range": "bytes=10-19"})
    assert (part.status_code, b"".join(part.streaming_content)) == (206, data[10:20])
    assert part.headers["Content-Range"] == f"bytes 10-19/{len(data)}"
    tail = as_therapist.get(url, headers={"Range": "bytes=-5"})
    assert b"".join(tail.streaming_content) == data[-5:]
    assert as_therapist.get(url, headers={"Range": f"bytes={len(data)}-"}).status_code == 416
    client.force_login(cast.lead)
    assert client.get(url).status_code == 404


def test_working_copies_lie_outside_what_is_kept() -> None:
    assert Path("files") not in [part.relative_to(part.anchor) for part in working.folder().parents]
    assert working.folder().stat().st_mode & 0o077 == 0
