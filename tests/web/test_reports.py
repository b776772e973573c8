"""Reports are drafts until signed; exports carry the record; an archive comes in whole or not at all."""

from __future__ import annotations

import json
import zipfile
from dataclasses import replace
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from bylittle.core.advice import Decision
from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.practice.marks import Source
from bylittle.files.archive import read_archive
from bylittle.library.wording.reports import KINDS
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Goal
from bylittle.web.practice import services as practice
from bylittle.web.practice.models import Record, ScoredTwice
from bylittle.web.practice.queries import as_entry
from bylittle.web.reports.models import KeptReport
from bylittle.web.reports.record_of import record_of
from bylittle.web.reports.taking_in import take_in
from bylittle.web.reviews import services as reviews
from tests import cast as people
from tests.cast import TODAY, Cast


@pytest.fixture
def lived(cast: Cast) -> Cast:
    """A child with a baseline, a plan, practice with a correction, a review, and somebody else's marks."""
    people.baseline(cast)
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=6, turns=2)
    practice.take_out(Record.objects.latest("pk"), by=cast.therapist, reason="another child")
    reviews.decide(cast.skill, Decision.HOLD, "a new baby came", {}, by=cast.therapist, today=TODAY)
    return cast


def draft(client: Client, cast: Cast, kind: str = "progress-note") -> KeptReport:
    client.post(reverse("reports", args=[cast.child.pk]), {"kind": kind})
    return KeptReport.objects.latest("pk")


def words(report: KeptReport, **own: str) -> dict[str, str]:
    told = json.loads(report.content)["report"]
    data = {
        f"line:{section['code']}:{number}": line["text"]
        for section in told["sections"]
        for number, line in enumerate(section["lines"])
    }
    asked = [section["code"] for section in told["sections"] if section["ask"]]
    return data | {f"own:{code}": own.get(code, "Seen and thought through.") for code in asked}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_drafted_shown_and_printed(kind: str, lived: Cast, as_therapist: Client) -> None:
    kept = draft(as_therapist, lived, kind)
    assert as_therapist.get(reverse("report", args=[kept.pk])).status_code == 200
    pdf = as_therapist.get(reverse("report_file", args=[kept.pk, "pdf"])).content
    docx = as_therapist.get(reverse("report_file", args=[kept.pk, "docx"])).content
    assert pdf.startswith(b"%PDF")
    assert "word/document.xml" in zipfile.ZipFile(BytesIO(docx)).namelist()


def test_sentences_lead_to_the_marks_they_rest_on(lived: Cast, as_therapist: Client) -> None:
    kept = draft(as_therapist, lived)
    page = as_therapist.get(reverse("report", args=[kept.pk])).content.decode()
    links = [f"{reverse('record', args=[skill.pk])}?first=" for skill in kept.child.skills.all()]
    assert any(link in page for link in links)


def test_a_report_is_not_signed_while_a_judgement_is_not_written(lived: Cast, as_therapist: Client) -> None:
    kept = draft(as_therapist, lived)
    url = reverse("report", args=[kept.pk])
    data = words(kept) | {name: "" for name in words(kept) if name.startswith("own:")}
    as_therapist.post(url, data | {"sign": "1"})
    kept.refresh_from_db()
    assert not kept.signed
    as_therapist.post(url, words(kept) | {"sign": "1"})
    kept.refresh_from_db()
    assert kept.signed_by == lived.therapist


def test_a_signed_report_never_changes(lived: Cast, as_therapist: Client) -> None:
    kept = draft(as_therapist, lived)
    url = reverse("report", args=[kept.pk])
    as_therapist.post(url, words(kept) | {"sign": "1"})
    kept.refresh_from_db()
    before = kept.content
    as_therapist.post(url, words(kept) | {"own:subjective": "otherwise"})
    as_therapist.post(reverse("report_drop", args=[kept.pk]))
    kept.refresh_from_db()
    assert kept.content == before


def test_a_changed_sentence_says_so_and_an_emptied_one_leaves(lived: Cast, as_therapist: Client) -> None:
    kept = draft(as_therapist, lived)
    data = words(kept)
    lines = [name for name in data if name.startswith("line:")]
    data |= {lines[0]: "In my own words.", lines[1]: ""}
    as_therapist.post(reverse("report", args=[kept.pk]), data)
    kept.refresh_from_db()
    page = as_therapist.get(reverse("report", args=[kept.pk])).content.decode()
    assert "In my own words." in page
    assert "changed by hand" in page
    assert len([name for name in words(kept) if name.startswith("line:")]) == len(lines) - 1


def test_an_assistant_does_not_sign_a_report(lived: Cast, client: Client) -> None:
    client.force_login(lived.assistant)
    kept = draft(client, lived)
    assert client.post(reverse("report", args=[kept.pk]), words(kept) | {"sign": "1"}).status_code == 403
    kept.refresh_from_db()
    assert not kept.signed


@pytest.mark.parametrize("form", ["archive", "csv", "fhir", "deidentified"])
def test_every_export_is_made(form: str, lived: Cast, as_therapist: Client) -> None:
    response = as_therapist.get(reverse("export", args=[lived.child.pk, form]))
    assert response.status_code == 200
    assert "attachment" in response["Content-Disposition"]
    named = b"Wren" in response.content
    assert named is (form == "fhir") or form in ("archive", "csv")


def test_the_deidentified_export_tells_no_name_and_no_date(lived: Cast, as_therapist: Client) -> None:
    text = as_therapist.get(reverse("export", args=[lived.child.pk, "deidentified"])).content.decode()
    assert "Wren" not in text
    assert "Ines" not in text
    assert str(TODAY.year) not in text
    assert "a new baby came" not in text


def without_numbers(record: ChildRecord) -> ChildRecord:
    """The record without what another database numbers anew."""
    skills = tuple(replace(skill, id="") for skill in record.skills)
    return replace(record, id="", service="", skills=skills, team=tuple(sorted(record.team, key=str)))


def test_an_archive_comes_in_again_without_loss(lived: Cast, as_therapist: Client) -> None:
    lived.child.loves, lived.child.mouths = "puddles", False
    lived.child.save()
    lived.child.routines.create(what="After breakfast", minutes=5)
    lived.skill.readiness.create(item="sits", answer="adapted", adaptation="Sit against the wall")
    data = as_therapist.get(reverse("export", args=[lived.child.pk, "archive"])).content
    file = SimpleUploadedFile("wren.zip", data)
    as_therapist.post(reverse("archive_in"), {"file": file})
    copy = Child.objects.latest("pk")
    assert copy.pk != lived.child.pk
    assert without_numbers(record_of(copy)) == without_numbers(record_of(lived.child))


def test_people_who_are_gone_stay_named_and_cannot_sign_in(lived: Cast) -> None:
    record = record_of(lived.child)
    old = replace(record, skills=(replace(record.skills[0], plans=(_signed_by(record, "Gone Person"),)),))
    copy = take_in(old, lived.lead)
    signer = copy.skills.get().plans.get().signed_by
    assert (signer.shown_name, signer.is_active, signer.has_usable_password()) == (
        "Gone Person",
        False,
        False,
    )


def _signed_by(record: ChildRecord, name: str):
    return replace(record.skills[0].plans[0], signed_by=name)


@pytest.mark.parametrize("data", [b"", b"not a zip", b"PK\x03\x04 broken"])
def test_a_broken_archive_is_told_and_leaves_nothing(data: bytes, lived: Cast, as_therapist: Client) -> None:
    children = Child.objects.count()
    page = as_therapist.post(
        reverse("archive_in"), {"file": SimpleUploadedFile("x.zip", data)}
    ).content.decode()
    assert Child.objects.count() == children
    assert 'role="alert"' in page or 'role="status"' in page


def test_the_archive_is_the_record(lived: Cast, as_therapist: Client) -> None:
    data = as_therapist.get(reverse("export", args=[lived.child.pk, "archive"])).content
    assert read_archive(data) == record_of(lived.child)


def test_two_scorers_of_the_same_turns_are_compared(lived: Cast, as_therapist: Client) -> None:
    plan = lived.skill.plans.get()
    there = Record.objects.filter(source="home", kind="entry")[:4]
    for adult in ("Ines", "Jonah"):
        seen = [replace(as_entry(row), adult=adult, source=Source.VISIT) for row in there]
        practice.write(lived.skill, plan.version, seen, by=lived.assistant, plan=plan)
    url = reverse("agree", args=[lived.skill.pk])
    page = as_therapist.get(url).content.decode()
    assert "marks meet" in page
    as_therapist.post(url, {"pair": page.split('name="pair" value="')[1].split('"')[0]})
    assert ScoredTwice.objects.count() == 1
    assert "4 of 4 marks alike" in as_therapist.get(url).content.decode()


def test_the_t_score_stands_beside_each_goals_level(cast: Cast, as_therapist: Client) -> None:
    """Two goals at +1: T = 62.4 (Kiresuk & Sherman 1968, rho .3)."""
    second = cast.child.skills.create(name="Wash hands")
    for skill in (cast.skill, second):
        goal = Goal.objects.create(skill=skill, statement="Wren does it alone")
        goal.ratings.create(level=1)
    page = as_therapist.get(reverse("reports", args=[cast.child.pk])).content.decode()
    assert "62.4" in page
    assert page.count('<td class="num">1</td>') == 2


def test_a_goal_is_asked_about_what_it_does_not_say(cast: Cast, as_therapist: Client) -> None:
    Goal.objects.create(skill=cast.skill, statement="Does it better")
    page = as_therapist.get(reverse("goal", args=[cast.skill.pk])).content.decode()
    assert "Questions to the writer" in page
