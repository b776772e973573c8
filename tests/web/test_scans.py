"""A photographed sheet: read, settled, accepted, corrected, taken back, moved; never guessed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from hashlib import sha256
from io import BytesIO

import pypdfium2
import pytest
import segno
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image, ImageDraw

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.plan import sheets
from bylittle.core.sheet.shape import PAPERS
from bylittle.reading.pictures import MOST_PAGES, Frame
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.upload import read_frame
from bylittle.web.people.models import Caregiver, Child
from bylittle.web.people.services import set_adults
from bylittle.web.plans import copies, pages
from bylittle.web.plans.models import Plan
from bylittle.web.practice import services as practice
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import log_of
from bylittle.web.scans import bounds, keeping, services, taking
from bylittle.web.scans.models import Scan
from bylittle.web.scans.queries import home
from bylittle.web.skills import services as skills
from tests import cast as people
from tests.cast import Cast

DPI = 150
MM = DPI / 25.4
TODAY = date.today()


#: What a test prints or reads is the same in most of them: each different one is done once.
printed: dict[tuple[str, ...], Image.Image] = {}
readings: dict[tuple[bytes, str], Reading | NotRead] = {}


@pytest.fixture(autouse=True)
def read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reader itself, asked once for each different picture."""

    def read(frame: Frame, typed: SheetId | None = None) -> Reading | NotRead:
        if frame.grey is None:
            return read_frame(frame, typed)
        key = (sha256(frame.grey.tobytes()).digest(), str(typed))
        if key not in readings:
            readings[key] = read_frame(frame, typed)
        return readings[key]

    monkeypatch.setattr(taking, "read_frame", read)


def blank_sheet(plan: Plan, copy: str) -> Image.Image:
    """The plan's printed log sheet as a picture."""
    made = copies.printed_as(pages.sheet_plan(home(plan)), copies.of_letter(plan, copy))
    key = (str(sheets(made, PAPERS["a4"])[0]), *made.adults)
    if key not in printed:
        pdf = pages.pdf(plan, "log-sheet", "a4", copy)
        printed[key] = pypdfium2.PdfDocument(pdf)[0].render(scale=DPI / 72).to_pil().convert("L")
    return printed[key].copy()


def photograph(
    plan: Plan, marks: dict[str, float], quality: int = 90, copy: str = "A", words: str = ""
) -> bytes:
    """The plan's log sheet as a picture: bubbles filled to a share of their ring, words written."""
    picture = blank_sheet(plan, copy)
    pen = ImageDraw.Draw(picture)
    number = sheets(pages.sheet_plan(home(plan)), PAPERS["a4"])[0]
    page = geometry.page(number.shape, 1)
    for bubble in page.bubbles:
        if share := marks.get(bubble.id):
            r = bubble.r * MM * share
            x, y = bubble.x * MM, bubble.y * MM
            pen.ellipse((x - r, y - r, x + r, y + r), fill=40)
    if words:
        pen.text(((page.notes.x + 4) * MM, (page.notes.y + 14) * MM), words, 70, font_size=6 * MM)
    out = BytesIO()
    picture.save(out, "JPEG", quality=quality)
    return out.getvalue()


def send(client: Client, *pictures: bytes) -> list[Scan]:
    files = [
        SimpleUploadedFile(f"photo{number}.jpg", data, "image/jpeg") for number, data in enumerate(pictures)
    ]
    known = set(Scan.objects.values_list("pk", flat=True))
    client.post(reverse("sheets"), {"photos": files})
    return list(Scan.objects.exclude(pk__in=known).order_by("pk"))


def accept(client: Client, scan: Scan, **answers: str):
    return client.post(reverse("sheet", args=[scan.pk]), {"accept": "1", **answers}, follow=True)


@pytest.fixture
def plan(cast: Cast) -> Plan:
    plan = people.signed_plan(cast, days_ago=7)
    Plan.objects.update(code="7F3A9C")
    plan.refresh_from_db()
    return plan


MARKS = {"d1.who1": 1.0, "d1t1.3": 1.0, "d1t2.stopped": 1.0, "d2.who2": 1.0, "d2t1.5": 1.0}


def test_a_clear_sheet_goes_into_the_record_only_when_accepted(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    assert (scan.state, scan.plan) == ("waiting", plan)
    assert log_of(cast.skill).entries() == ()
    accept(as_therapist, scan)
    told = [
        (entry.day, entry.turn, entry.outcome, entry.needed, entry.adult, entry.source)
        for entry in log_of(cast.skill).entries()
    ]
    start = plan.start
    assert told == [
        (start, 1, Outcome.NEEDED, 3, "M", Source.PAPER),
        (start, 2, Outcome.STOPPED, None, "M", Source.PAPER),
        (start + timedelta(days=1), 1, Outcome.NEEDED, 5, "D", Source.PAPER),
    ]


def test_two_clear_marks_in_a_row_are_asked_about(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, {"d1.who1": 1, "d1t1.1": 1, "d1t1.3": 1}))
    page = accept(as_therapist, scan).content.decode()
    assert "2 marks are clear" in page
    assert "Still open" in page
    assert not Record.objects.exists()
    accept(as_therapist, scan, **{"row:d1t1": "d1t1.3"})
    assert [entry.needed for entry in log_of(cast.skill).entries()] == [3]


def test_a_row_settled_as_blank_stays_unknown(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    marks = {"d1.who1": 1, "d1t1.1": 1, "d1t1.3": 1, "d1t2.2": 1}
    (scan,) = send(as_therapist, photograph(plan, marks))
    accept(as_therapist, scan, **{"row:d1t1": "blank"})
    assert [(entry.turn, entry.needed) for entry in log_of(cast.skill).entries()] == [(2, 2)]


def test_who_practised_is_asked_where_nobody_is_ticked(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, {"d1t1.2": 1}))
    assert "who practised" in accept(as_therapist, scan).content.decode()
    accept(as_therapist, scan, **{"who:1": "D"})
    assert [entry.adult for entry in log_of(cast.skill).entries()] == ["D"]


def test_a_second_photograph_adds_what_is_new_and_puts_right_what_changed(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, first)
    later = {**MARKS, "d3.who1": 1, "d3t1.4": 1, "d2t1.4": 1}
    del later["d2t1.5"]
    (second,) = send(as_therapist, photograph(plan, later))
    page = as_therapist.get(reverse("sheet", args=[second.pk])).content.decode()
    assert "Is this a second week?" in page
    assert "otherwise in 1 row" in page
    still = accept(as_therapist, second, changed="right").content.decode()
    assert "Still open: which week this is" in still
    accept(as_therapist, second, changed="right", week="printed")
    needed = [entry.needed for entry in log_of(cast.skill).entries()]
    assert needed == [3, None, 4, 4]
    assert Record.objects.filter(kind="corrected").count() == 1


def test_the_same_file_twice_is_told_and_adds_nothing(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    data = photograph(plan, MARKS)
    (scan,) = send(as_therapist, data)
    files = [SimpleUploadedFile("again.jpg", data, "image/jpeg")]
    page = as_therapist.post(reverse("sheets"), {"photos": files}, follow=True).content.decode()
    assert "Already here." in page
    assert list(Scan.objects.all()) == [scan]
    accept(as_therapist, scan)
    as_therapist.post(reverse("sheets"), {"photos": [SimpleUploadedFile("b.jpg", data, "image/jpeg")]})
    assert len(log_of(cast.skill).entries()) == 3


def test_another_photograph_that_says_the_same_adds_nothing(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, first)
    (second,) = send(as_therapist, photograph(plan, MARKS, quality=80))
    page = as_therapist.get(reverse("sheet", args=[second.pk])).content.decode()
    assert "says the same: nothing would be added" in page
    assert "Nothing new was marked" in accept(as_therapist, second).content.decode()
    assert Record.objects.count() == 3


def test_a_photocopy_for_another_week_counts_as_that_week(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, first)
    (copy,) = send(as_therapist, photograph(plan, {"d1.who1": 1, "d1t1.5": 1}))
    accept(as_therapist, copy, week="another")
    assert len(log_of(cast.skill).entries()) == 3
    accept(as_therapist, copy, week="another", start=TODAY.isoformat())
    assert log_of(cast.skill).entries()[-1].day == TODAY
    assert len(log_of(cast.skill).entries()) == 4


def test_taken_back_with_trace_and_accepted_again(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, scan)
    as_therapist.post(reverse("sheet_undo", args=[scan.pk]))
    assert log_of(cast.skill).entries() == ()
    assert Record.objects.filter(kind="moved away").count() == 3
    accept(as_therapist, scan)
    assert len(log_of(cast.skill).entries()) == 3


def test_filed_under_another_plan_its_marks_move_with_trace(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, scan)
    other = people.signed_plan(cast, help_level=2, days_ago=3)
    as_therapist.post(reverse("sheet_move", args=[scan.pk]), {"plan": str(other.pk)})
    scan.refresh_from_db()
    assert (scan.plan, scan.state) == (other, "waiting")
    assert log_of(cast.skill).entries() == ()


def test_a_sheet_of_an_older_plan_is_told_and_goes_to_that_plan(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    data = photograph(plan, MARKS)
    people.signed_plan(cast, help_level=2, days_ago=1)
    (scan,) = send(as_therapist, data)
    assert "older plan" in as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    accept(as_therapist, scan)
    assert set(Record.objects.values_list("plan", flat=True)) == {plan.pk}


def test_a_strangers_sheet_shows_and_keeps_nothing(cast: Cast, plan: Plan, client: Client) -> None:
    client.force_login(cast.stranger)
    (scan,) = send(client, photograph(plan, MARKS))
    assert (scan.state, scan.plan, scan.picture, scan.ink) == ("refused", None, "", {})
    page = client.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert "not one of your children" in page
    assert "Wren" not in page


@pytest.mark.parametrize(
    "data", [b"not a picture", b"%PDF-1.4 broken", b"<svg onload='alert(1)'/>", b"\xff\xd8\xff"]
)
def test_what_is_no_photograph_is_refused_with_a_reason(
    data: bytes, cast: Cast, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, data)
    assert scan.state == "refused"
    assert scan.why


def test_a_picture_of_something_else_is_refused(cast: Cast, as_therapist: Client) -> None:
    out = BytesIO()
    Image.linear_gradient("L").resize((900, 1200)).save(out, "JPEG")
    (scan,) = send(as_therapist, out.getvalue())
    assert scan.state == "refused"


def test_the_kept_picture_carries_no_camera_data_and_is_forgotten_in_time(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    body = b"".join(as_therapist.get(reverse("sheet_picture", args=[scan.pk])).streaming_content)
    assert not Image.open(BytesIO(body)).getexif()
    assert keeping.forget_old_pictures(TODAY) == 0
    assert keeping.forget_old_pictures(TODAY + timedelta(days=keeping.days_kept() + 2)) == 1
    assert as_therapist.get(reverse("sheet_picture", args=[scan.pk])).status_code == 404
    assert as_therapist.get(reverse("sheet", args=[scan.pk])).status_code == 200


def test_the_id_on_the_sheet_names_the_plan_and_not_the_child(cast: Cast, plan: Plan) -> None:
    number = sheets(pages.sheet_plan(home(plan)), PAPERS["a4"])[0]
    assert identity.read(str(number)).plan_name == plan.code


def told(cast: Cast) -> list[tuple[date, int, str, int | None]]:
    return [(entry.day, entry.turn, entry.adult, entry.needed) for entry in log_of(cast.skill).entries()]


def test_taking_a_second_photograph_back_brings_the_first_one_back(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, first)
    before = told(cast)
    later = {**MARKS, "d2t1.4": 1}
    del later["d2t1.5"]
    (second,) = send(as_therapist, photograph(plan, later))
    accept(as_therapist, second, changed="right", week="printed")
    assert told(cast) != before
    as_therapist.post(reverse("sheet_undo", args=[second.pk]))
    assert told(cast) == before


def test_a_mark_put_right_by_hand_is_taken_back_too(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, scan)
    row = Record.objects.order_by("pk").first()
    as_therapist.post(reverse("record_correct", args=[row.pk]), {"mark": "2", "reason": "seen otherwise"})
    as_therapist.post(reverse("sheet_undo", args=[scan.pk]))
    assert told(cast) == []


def test_the_adults_are_those_printed_on_the_sheet(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    data = photograph(plan, MARKS)
    set_adults(cast.child, ["Nana", "Mum", "Dad"])
    (scan,) = send(as_therapist, data)
    accept(as_therapist, scan)
    assert [adult for _, _, adult, _ in told(cast)] == ["M", "M", "D"]


def test_another_adult_on_a_second_photograph_does_not_double_a_turn(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, {"d1t1.2": 1}))
    accept(as_therapist, first, **{"who:1": "D"})
    (second,) = send(as_therapist, photograph(plan, {"d1t1.2": 1, "d1.who1": 1}))
    accept(as_therapist, second)
    assert len(told(cast)) == 1


def test_an_empty_file_loses_no_other(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    empty, good = send(as_therapist, b"", photograph(plan, MARKS))
    assert (empty.state, good.state) == ("refused", "waiting")


def test_a_sheet_is_accepted_once_however_often_it_is_sent(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    one, two = Scan.objects.get(pk=scan.pk), Scan.objects.get(pk=scan.pk)
    services.accept(one, cast.therapist)
    with pytest.raises(BadValue):
        services.accept(two, cast.therapist)
    assert len(Scan.objects.get(pk=scan.pk).records) == 3


def test_a_sheet_whose_rows_mean_other_things_is_not_filed(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    data = photograph(plan, MARKS)
    Plan.objects.filter(pk=plan.pk).update(levels=["hand over hand", "words", "alone"])
    (scan,) = send(as_therapist, data)
    assert scan.state == "refused"


def test_what_got_in_the_way_is_noted_for_the_days_and_taken_back_with_the_sheet(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, {**MARKS, "way2": 1}))
    accept(as_therapist, scan)
    (row,) = cast.skill.in_the_way.all()
    assert (row.what, row.first, row.last) == ("tired", plan.start, plan.start + timedelta(days=6))
    assert "tired" in as_therapist.get(reverse("record", args=[cast.skill.pk])).content.decode()
    as_therapist.post(reverse("sheet_undo", args=[scan.pk]))
    row.refresh_from_db()
    assert row.back_by == cast.therapist
    assert "tired" not in as_therapist.get(reverse("record", args=[cast.skill.pk])).content.decode()


def test_each_day_has_its_own_answer_to_who_practised(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    marks = {"d1t1.2": 1, "d2t1.2": 1, "d2.who1": 1, "d2.who2": 1, "d3t1.2": 1, "d3.who2": 1}
    (scan,) = send(as_therapist, photograph(plan, marks))
    still = accept(as_therapist, scan, **{"who:1": "M"}).content.decode()
    assert "Still open: who practised" in still
    accept(as_therapist, scan, **{"who:1": "M", "who:2": "M, D"})
    assert [adult for _, _, adult, _ in told(cast)] == ["M", "M, D", "D"]


def test_a_clear_but_wrong_reading_is_put_right_with_trace(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    as_therapist.post(reverse("sheet", args=[scan.pk]), {"row:d1t1": "d1t1.5", "row:d1t3": "d1t3.2"})
    page = as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert "read as pointing, now alone" in page
    assert "read as blank, now showing" in page
    accept(as_therapist, scan)
    assert [(turn, needed) for _, turn, _, needed in told(cast)] == [(1, 5), (2, None), (3, 2), (1, 5)]


def covered(data: bytes) -> bytes:
    """The photograph with something over both square codes."""
    picture = Image.open(BytesIO(data))
    pen = ImageDraw.Draw(picture)
    page = geometry.pages(geometry.Shape(PAPERS["a4"], 1, 1, 1, 2))[0]
    for box in (page.qr, page.matrix):
        pen.rectangle(
            ((box.x - 1) * MM, (box.y - 1) * MM, (box.x + box.w + 1) * MM, (box.y + box.h + 1) * MM), 150
        )
    out = BytesIO()
    picture.save(out, "JPEG")
    return out.getvalue()


def test_a_square_code_whose_check_sign_does_not_fit_is_no_sheet(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    number = str(sheets(pages.sheet_plan(home(plan)), PAPERS["a4"])[0])
    picture = Image.open(BytesIO(covered(photograph(plan, MARKS))))
    code = BytesIO()
    segno.make_qr(number[:-1] + ("0" if number[-1] != "0" else "1")).save(code, kind="png", scale=8, border=4)
    box = geometry.pages(geometry.Shape(PAPERS["a4"], 1, 1, 1, 2))[0].qr
    picture.paste(
        Image.open(code).convert("L").resize((round(box.w * MM),) * 2), (round(box.x * MM), round(box.y * MM))
    )
    out = BytesIO()
    picture.save(out, "JPEG", quality=95)
    (scan,) = send(as_therapist, out.getvalue())
    assert (scan.state, scan.sheet, scan.plan) == ("refused", "", None)
    assert "check sign does not fit" in scan.why


def test_what_was_not_read_leaves_the_list_after_two_weeks(cast: Cast, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, b"no picture at all")
    listed = reverse("sheet", args=[scan.pk])
    assert listed in as_therapist.get(reverse("sheets")).content.decode()
    Scan.objects.filter(pk=scan.pk).update(at=timezone.now() - timedelta(days=keeping.UNREAD_DAYS + 1))
    assert listed not in as_therapist.get(reverse("sheets")).content.decode()


def test_a_sheet_that_waits_for_its_number_stays_in_the_list_as_long_as_its_picture(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, covered(photograph(plan, MARKS)))
    for days, listed in ((keeping.UNREAD_DAYS, True), (keeping.UNREAD_DAYS + 1, False)):
        Scan.objects.filter(pk=scan.pk).update(at=timezone.now() - timedelta(days=days))
        page = as_therapist.get(reverse("sheets")).content.decode()
        assert (reverse("sheet", args=[scan.pk]) in page) is listed
        assert bool(Scan.objects.get(pk=scan.pk).picture) is listed


def test_a_number_typed_by_hand_reads_the_sheet_and_a_wrong_one_says_where_to_look(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, covered(photograph(plan, MARKS)))
    assert (scan.state, scan.refusal, bool(scan.picture)) == ("refused", "no_number", True)
    number = str(sheets(pages.sheet_plan(home(plan)), PAPERS["a4"])[0])
    url = reverse("sheet", args=[scan.pk])
    wrong = ("0" if number[0] != "0" else "1") + number[1:]
    assert "last sign does not fit" in as_therapist.post(url, {"number": wrong}).content.decode()
    as_therapist.post(url, {"number": f"{number[:4].lower()} {number[4:]}"})
    scan.refresh_from_db()
    assert (scan.state, scan.sheet, scan.plan) == ("waiting", number, plan)
    accept(as_therapist, scan)
    assert len(told(cast)) == 3


def test_another_persons_unread_picture_is_hers_alone(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, covered(photograph(plan, MARKS)))
    other = Client()
    other.force_login(cast.lead)
    assert as_therapist.get(reverse("sheet_picture", args=[scan.pk])).status_code == 200
    assert other.get(reverse("sheet_picture", args=[scan.pk])).status_code == 404


def test_too_much_at_once_is_left_out_and_the_rest_is_read(
    cast: Cast, plan: Plan, as_therapist: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    good = photograph(plan, MARKS)
    monkeypatch.setattr(bounds, "LARGEST_FILE", len(good) + 10)
    first, last = send(as_therapist, good, b"x" * (len(good) + 100_000))
    assert (first.state, last.state) == ("waiting", "refused")
    assert "larger than" in last.why


def test_a_lead_says_how_long_pictures_are_kept_and_older_ones_go(
    cast: Cast, plan: Plan, as_therapist: Client, client: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    Scan.objects.filter(pk=scan.pk).update(at=timezone.now() - timedelta(days=40))
    path = keeping.folder() / scan.picture
    assert as_therapist.post(reverse("sheets_keep"), {"keep_pictures_days": "30"}).status_code == 404
    assert path.is_file()
    client.force_login(cast.lead)
    assert (
        "30 days"
        in client.post(reverse("sheets_keep"), {"keep_pictures_days": "30"}, follow=True).content.decode()
    )
    assert not path.exists()
    assert keeping.days_kept() == 30


def test_a_sheet_sent_from_another_childs_page_is_filed_where_it_belongs(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    other = Child.objects.create(name="Otto", born=TODAY - timedelta(days=1500))
    other.team.add(cast.therapist)
    file = SimpleUploadedFile("a.jpg", photograph(plan, MARKS), "image/jpeg")
    url = f"{reverse('sheets')}?child={other.pk}"
    page = as_therapist.post(url, {"photos": [file]}, follow=True).content.decode()
    assert "this is a sheet of Wren, not of Otto" in page
    assert Scan.objects.get().plan == plan


def test_moving_to_another_child_asks_who_practised_and_names_neither(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    accept(as_therapist, scan)
    other = Child.objects.create(name="Otto", born=TODAY - timedelta(days=1500))
    other.team.add(cast.therapist)
    Caregiver.objects.create(child=other, name="Nana", initials="N")
    skill = skills.start_from_ready(other, library.skill(people.READY))
    theirs = people.signed_plan(replace(cast, child=other, skill=skill), days_ago=7)
    as_therapist.post(reverse("sheet_move", args=[scan.pk]), {"plan": str(theirs.pk)})
    assert "Filed under Otto" in as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert told(cast) == []
    assert "Otto" not in as_therapist.get(reverse("record", args=[cast.skill.pk])).content.decode()
    still = accept(as_therapist, scan).content.decode()
    assert "Still open: who practised" in still
    assert "before under another child" in still
    accept(as_therapist, scan, **{"who:1": "N", "who:2": "N"})
    assert {entry.adult for entry in log_of(skill).entries()} == {"N"}


def bomb() -> bytes:
    """A small file that says it holds 400 megapixels."""
    out = BytesIO()
    Image.new("1", (20_000, 20_000)).save(out, "PNG")
    return out.getvalue()


def test_bad_files_lose_nothing_of_the_others(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    good = photograph(plan, MARKS)
    svg = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
    scans = send(as_therapist, svg, bomb(), good[: len(good) // 2], b"", good)
    assert [scan.state for scan in scans] == ["refused"] * 4 + ["waiting"]
    assert "megapixels" in scans[1].why
    assert all(scan.why for scan in scans[:4])


def test_a_pdf_of_400_pages_is_read_in_part_and_told(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    document = pypdfium2.PdfDocument.new()
    for _ in range(400):
        document.new_page(60, 80)
    out = BytesIO()
    document.save(out)
    scans = send(as_therapist, out.getvalue(), photograph(plan, MARKS))
    assert "400 pages" in scans[-2].why
    assert len(scans) == MOST_PAGES + 2
    assert scans[-1].state == "waiting"


def test_another_copy_is_a_sheet_of_its_own(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("plan", args=[plan.pk])).content.decode()
    assert "Print another copy (B)" in page
    made = {"start": plan.start.isoformat(), "whose": "nursery"}
    page = as_therapist.post(reverse("plan_copy", args=[plan.pk]), made, follow=True).content.decode()
    assert "?copy=B" in page
    assert "Print another copy (C)" in page
    plan.refresh_from_db()
    (first,) = send(as_therapist, photograph(plan, MARKS))
    (second,) = send(as_therapist, photograph(plan, {"d1.who2": 1, "d1t1.4": 1}, copy="B"))
    assert first.sheet[:-2] == second.sheet[:-2]
    assert identity.read(second.sheet).copy == "B"
    assert "copy B (nursery)" in as_therapist.get(reverse("sheet", args=[second.pk])).content.decode()
    for scan in (first, second):
        accept(as_therapist, scan)
    assert sorted((adult, needed) for _, turn, adult, needed in told(cast) if turn == 1) == [
        ("D", 4),
        ("D", 5),
        ("M", 3),
    ]


def test_the_next_weeks_sheet_has_its_own_days(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    monday = plan.start + timedelta(days=7)
    as_therapist.post(reverse("plan_copy", args=[plan.pk]), {"start": monday.isoformat()})
    plan.refresh_from_db()
    (scan,) = send(as_therapist, photograph(plan, {"d1.who1": 1, "d1t1.3": 1}, copy="B"))
    accept(as_therapist, scan)
    assert [day for day, *_ in told(cast)] == [monday]


def test_the_weeks_to_print_for_are_the_last_this_and_the_next(cast: Cast, plan: Plan) -> None:
    day, week = plan.start, timedelta(days=7)
    assert copies.weeks(plan, day + timedelta(days=6)) == (day, day + week)
    assert copies.weeks(plan, day + timedelta(days=30)) == (day, day + 4 * week, day + 5 * week)
    assert copies.weeks(plan, day - timedelta(days=3)) == (day, day + week)
    Plan.objects.update(start=None)
    plan.refresh_from_db()
    assert copies.weeks(plan, day) == (None,)


TWO_HOMES = {"d1t1.1": 1.0, "d1t2.1": 1.0}
NOBODY_KNOWN = {"who:1": "?"}


@pytest.fixture
def second_home(cast: Cast, plan: Plan, as_therapist: Client) -> Scan:
    """A second home's print of the same days; the first home's turns are in the record, of nobody known."""
    copies.make(plan, plan.start, "Dad's home", cast.therapist, TODAY)
    (first,) = send(as_therapist, photograph(plan, TWO_HOMES))
    accept(as_therapist, first, **NOBODY_KNOWN)
    assert log_of(cast.skill).entries()[0].adult == ""
    (scan,) = send(as_therapist, photograph(plan, {"d1t1.1": 1.0, "d1t2.4": 1.0}, copy="B"))
    return scan


def turns(cast: Cast) -> list[tuple[int, int | None, str]]:
    return [(entry.turn, entry.needed, entry.adult) for entry in log_of(cast.skill).entries()]


def test_the_same_turns_on_two_prints_are_asked_about_as_another_person_or_week(
    cast: Cast, second_home: Scan, as_therapist: Client
) -> None:
    page = accept(as_therapist, second_home, **NOBODY_KNOWN).content.decode()
    assert "Another person, or another week?" in page
    assert "another print already (copy A)" in page
    assert "Is this a second week?" not in page
    assert turns(cast) == [(1, 1, ""), (2, 1, "")]
    assert "1 to settle" in as_therapist.get(f"{reverse('sheets')}?new={second_home.pk}").content.decode()


def test_another_persons_turns_come_after_those_in_the_record(
    cast: Cast, second_home: Scan, as_therapist: Client
) -> None:
    accept(as_therapist, second_home, **NOBODY_KNOWN, week="person")
    assert turns(cast) == [(1, 1, ""), (2, 1, ""), (3, 1, ""), (4, 4, "")]
    as_therapist.post(reverse("sheet_undo", args=[second_home.pk]))
    assert turns(cast) == [(1, 1, ""), (2, 1, "")]
    page = as_therapist.get(reverse("sheet", args=[second_home.pk])).content.decode()
    assert 'value="person" checked' in page
    assert "other turns of the same days" in page


def test_naming_the_other_person_needs_no_further_answer(
    cast: Cast, second_home: Scan, as_therapist: Client
) -> None:
    accept(as_therapist, second_home, **{"who:1": "D"})
    assert turns(cast) == [(1, 1, ""), (1, 1, "D"), (2, 1, ""), (2, 4, "D")]


def test_the_same_turns_written_down_twice_are_not_doubled(
    cast: Cast, second_home: Scan, as_therapist: Client
) -> None:
    accept(as_therapist, second_home, **NOBODY_KNOWN, week="printed", changed="right")
    assert turns(cast) == [(1, 1, ""), (2, 4, "")]


def test_the_other_print_may_be_another_week(cast: Cast, second_home: Scan, as_therapist: Client) -> None:
    week_before = second_home.plan.start - timedelta(days=7)
    accept(as_therapist, second_home, **NOBODY_KNOWN, week="another", start=week_before.isoformat())
    days = [(entry.day, entry.turn) for entry in log_of(cast.skill).entries()]
    start = second_home.plan.start
    assert days == [(week_before, 1), (week_before, 2), (start, 1), (start, 2)]


def test_what_was_settled_on_an_earlier_photograph_is_not_asked_twice(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    marks = {"d1.who1": 1.0, "d1t1.1": 1.0, "d1t1.3": 1.0}
    (first,) = send(as_therapist, photograph(plan, marks))
    accept(as_therapist, first, **{"row:d1t1": "d1t1.3"})
    (second,) = send(as_therapist, photograph(plan, {**marks, "d1t2.5": 1.0}))
    page = as_therapist.get(reverse("sheet", args=[second.pk])).content.decode()
    assert 'value="d1t1.3" data-key="4" checked' in page
    assert "chosen is what the earlier photograph gave" in page
    assert "Please settle" not in page
    (third,) = send(as_therapist, photograph(plan, {**marks, "d1t1.5": 1.0}))
    assert "Please settle 1" in as_therapist.get(reverse("sheet", args=[third.pk])).content.decode()


def test_a_photocopied_week_takes_nothing_over_from_the_first_one(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    first = photograph(plan, {"d1.who1": 1, "d1t1.1": 1, "d2t1.1": 1}, words="boots hurt")
    (scan,) = send(as_therapist, first)
    accept(as_therapist, scan, **{"who:2": "D"}, free_word="Boots hurt")
    (copied,) = send(as_therapist, photograph(plan, {"d1.who1": 1, "d1t1.5": 1}))
    page = as_therapist.get(reverse("sheet", args=[copied.pk])).content.decode()
    assert "Is this a second week?" in page
    assert "Boots hurt" not in page
    assert 'name="who:2"' not in page, "nothing is marked on the second day"


def test_practice_that_was_typed_in_already_is_told(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    url = reverse("sheet", args=[scan.pk])
    assert "from home already" not in as_therapist.get(url).content.decode()
    (step,) = home(plan).asked
    same = replace(log_entry(plan), step_id=step.step_id)
    practice.write(cast.skill, plan.version, [same], by=cast.therapist, plan=plan)
    assert "The record has 1 of these marks from home already" in as_therapist.get(url).content.decode()


def log_entry(plan: Plan) -> Entry:
    """The first turn of the plan's first day, told by the mother."""
    assert plan.start is not None
    return Entry(
        day=plan.start, turn=1, step_id="", outcome=Outcome.NEEDED, needed=3, source=Source.HOME, adult="M"
    )


def test_a_sheet_moves_only_to_a_plan_that_was_chosen(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    assert as_therapist.post(reverse("sheet_move", args=[scan.pk]), {"plan": ""}).status_code == 404
    scan.refresh_from_db()
    assert scan.plan == plan


def test_a_copy_that_was_not_made_is_not_printed(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    url = reverse("plan_page", args=[plan.pk, "log-sheet", "a4"])
    page = as_therapist.get(f"{url}?copy=C", follow=True).content.decode()
    assert "no copy “C”" in page
    far = {"start": (plan.start + timedelta(days=3)).isoformat()}
    assert as_therapist.post(reverse("plan_copy", args=[plan.pk]), far).status_code == 404
    for _ in range(25):
        copies.make(plan, plan.start, "", cast.therapist, TODAY)
    with pytest.raises(BadValue):
        copies.make(plan, plan.start, "", cast.therapist, TODAY)
    assert [copy.letter for copy in copies.all_of(plan)] == list(identity.COPIES)


def test_what_the_family_wrote_is_asked_about_and_kept_with_the_marks(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS, words="boots hurt"))
    still = accept(as_therapist, scan).content.decode()
    assert "Something seems to be written" in still
    assert "Still open: what the family wrote" in still
    accept(as_therapist, scan, free_word="Boots hurt on Monday")
    (row,) = cast.skill.in_the_way.all()
    assert (row.what, row.words, row.first) == ("their words", "Boots hurt on Monday", plan.start)
    record = reverse("record", args=[cast.skill.pk])
    assert "“Boots hurt on Monday”" in as_therapist.get(record).content.decode()
    as_therapist.post(reverse("sheet_undo", args=[scan.pk]))
    assert "Boots hurt" not in as_therapist.get(record).content.decode()


def test_writing_with_nothing_to_keep_is_settled_by_one_tap(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS, words="boots hurt"))
    accept(as_therapist, scan, nothing="on")
    scan.refresh_from_db()
    assert (scan.state, scan.free_word) == ("accepted", "")
    assert not cast.skill.in_the_way.exists()


def test_a_second_photograph_brings_the_words_of_the_first(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (first,) = send(as_therapist, photograph(plan, MARKS, words="boots hurt"))
    accept(as_therapist, first, free_word="Boots hurt")
    (second,) = send(as_therapist, photograph(plan, MARKS, quality=80, words="boots hurt"))
    page = as_therapist.get(reverse("sheet", args=[second.pk])).content.decode()
    assert "Boots hurt</textarea>" in page
    accept(as_therapist, second, free_word="Boots hurt")
    assert cast.skill.in_the_way.count() == 1


def test_an_empty_room_is_not_asked_about(cast: Cast, plan: Plan, as_therapist: Client) -> None:
    (scan,) = send(as_therapist, photograph(plan, MARKS))
    page = as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert "Nothing seems to be written" in page
    assert "Everything on this sheet was read clearly" in page


def test_who_is_asked_at_once_where_a_rows_marks_may_need_a_name(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, {"d1t1.1": 1, "d1t1.3": 1}))
    page = as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert "Please settle 2" in page
    assert "autofocus" not in page
    assert "autofocus" in accept(as_therapist, scan).content.decode()
    accept(as_therapist, scan, **{"row:d1t1": "blank"})
    scan.refresh_from_db()
    assert (scan.state, told(cast)) == ("accepted", [])


def test_an_accepted_sheet_shows_what_was_settled_among_its_rows(
    cast: Cast, plan: Plan, as_therapist: Client
) -> None:
    (scan,) = send(as_therapist, photograph(plan, {"d1.who1": 1, "d1t1.1": 1, "d1t1.3": 1}))
    accept(as_therapist, scan, **{"row:d1t1": "d1t1.3"})
    page = as_therapist.get(reverse("sheet", args=[scan.pk])).content.decode()
    assert '<label for="row:d1t1" data-hand="settled by hand">turn 1</label><span>pointing</span>' in page
    assert "to settle above" not in page
