"""The translator's view: both languages side by side, the unread marked; a reading counts for its words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.library import translation
from bylittle.library.translation import Section
from bylittle.web.people.models import Person
from bylittle.web.plans import pages
from bylittle.web.plans.models import Plan
from bylittle.web.plans.read_through import wholly_read
from bylittle.web.skills import reading, services
from bylittle.web.skills.models import ReadText
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast


@pytest.fixture
def as_assistant(cast: Cast) -> Client:
    return signed_in(cast.assistant)


@pytest.fixture
def as_lead(cast: Cast) -> Client:
    return signed_in(cast.lead)


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


SKILL = f"skill-{people.READY}"


def part(name: str = SKILL) -> Section:
    found = translation.section(name, "es")
    assert found is not None
    return found


def sent(ticked: set[str] | None, name: str = SKILL, speaker: str = "Lucía", **own: str) -> dict[str, str]:
    """The form of a section as a browser sends it; `ticked` None: every text."""
    data = {"speaker": speaker}
    for place, line in enumerate(part(name).lines):
        data[f"seen_{place}"] = line.digest
        if ticked is None or line.key in ticked:
            data[f"ok_{place}"] = "on"
    return data | own


def url(name: str = SKILL) -> str:
    return reverse("library_section", args=["es", name])


def read_all(cast: Cast, *names: str) -> None:
    for name in names:
        told = reading.Told({line.key for line in part(name).lines}, {}, "Lucía", cast.therapist)
        reading.keep(reading.readings(part(name), "es"), "es", told)


def test_the_first_page_counts_what_nobody_has_read(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("library_words", args=["es"])).content.decode()
    every = sum(len(each.lines) for each in translation.sections("es"))
    assert f"None of the {every} texts has been read" in page
    read_all(cast, "warm-ups")
    page = as_therapist.get(reverse("library_words", args=["es"])).content.decode()
    assert f"{every - len(part('warm-ups').lines)} of the {every} texts have not been read" in page
    only = as_therapist.get(reverse("library_words", args=["es"]) + "?unread").content.decode()
    assert ("Warm-ups" in page, "Warm-ups" in only) == (True, False)
    assert "Ways to help and to chain" in only


def test_a_part_stands_side_by_side_and_marks_what_is_unread(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(url()).content.decode()
    first = library.skill(people.READY).steps[0]
    assert str(first.done_when) in page
    assert first.done_when.text("es") in page
    assert page.count("<strong>unread</strong>") == len(part().lines)


def test_ticked_texts_are_kept_with_the_speakers_name(cast: Cast, as_therapist: Client) -> None:
    two = {line.key for line in part().lines[:2]}
    page = as_therapist.post(url(), sent(two), follow=True).content.decode()
    kept = ReadText.objects.all()
    assert {row.key for row in kept} == two
    assert {(row.speaker, row.by, row.on) for row in kept} == {("Lucía", cast.therapist, date.today())}
    assert "Kept: 2 texts changed" in page
    assert page.count("read by Lucía") == 2
    only = as_therapist.get(url() + "?unread").content.decode()
    assert "read by Lucía" not in only
    assert only.count("<strong>unread</strong>") == len(part().lines) - 2


def test_one_button_keeps_all_that_the_page_shows(cast: Cast, as_therapist: Client) -> None:
    as_therapist.post(url(), {**sent(set()), "all": "yes", "seen_0": "of another text"})
    assert {row.key for row in ReadText.objects.all()} == {line.key for line in part().lines[1:]}


def test_a_reading_without_a_name_is_not_kept(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.post(url(), sent(None, speaker=" ")).content.decode()
    assert "Say who has read them" in page
    assert not ReadText.objects.exists()


def test_another_reader_does_not_take_over_what_was_read_before(cast: Cast, as_therapist: Client) -> None:
    first, second = (line.key for line in part().lines[:2])
    as_therapist.post(url(), sent({first}))
    as_therapist.post(url(), sent({first, second}, speaker="Mateo"))
    assert dict(ReadText.objects.values_list("key", "speaker")) == {first: "Lucía", second: "Mateo"}


def test_a_tick_taken_out_takes_the_reading_back(cast: Cast, as_therapist: Client) -> None:
    as_therapist.post(url(), sent(None))
    as_therapist.post(url(), sent(set(), speaker=""))
    assert not ReadText.objects.exists()


def test_among_the_unread_those_not_shown_stay_read(cast: Cast, as_therapist: Client) -> None:
    """The filtered page does not send the texts that it hides: they are no unticked ones."""
    first, second = part().lines[:2]
    as_therapist.post(url(), sent({first.key}))
    data = {"speaker": "Mateo", "seen_1": second.digest, "ok_1": "on"}
    as_therapist.post(url() + "?unread", data)
    assert {row.key for row in ReadText.objects.all()} == {first.key, second.key}


def test_words_that_changed_since_the_page_was_made_are_not_taken_as_read(
    cast: Cast, as_therapist: Client
) -> None:
    data = sent(None) | {"seen_0": "of another text"}
    page = as_therapist.post(url(), data, follow=True).content.decode()
    assert "changed meanwhile" in page
    assert part().lines[0].key not in {row.key for row in ReadText.objects.all()}


def test_a_reading_is_void_when_the_library_words_the_text_anew(
    cast: Cast, as_therapist: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_all(cast, SKILL)
    old = part()
    lines = (replace(old.lines[0], other="Otra cosa"), *old.lines[1:])
    new = replace(old, lines=lines)
    monkeypatch.setattr(translation, "section", lambda name, language: new)
    told = reading.readings(new, "es")
    assert (told[0].read, told[0].void, told[1].read) == (False, True, True)
    assert "reworded since Lucía read it" in as_therapist.get(url()).content.decode()


def test_own_words_are_used_for_the_next_child_and_not_for_those_before(
    cast: Cast, as_therapist: Client
) -> None:
    ready = library.skill(people.READY)
    step = ready.steps[0]
    place = next(n for n, line in enumerate(part().lines) if line.key == f"{SKILL}.{step.id}.cue")
    as_therapist.post(url(), sent(set(), **{f"own_{place}": "Ábrela bien"}))
    assert reading.readings(part(), "es")[place].read
    assert latest_version(cast.skill).steps.first().translations["es"]["cue"] == step.cue.text("es")
    fresh = services.start_from_ready(cast.child, ready)
    there = latest_version(fresh).steps.first().translations["es"]
    assert (there["cue"], there["name"]) == ("Ábrela bien", step.name.text("es"))
    as_therapist.post(url(), sent({part().lines[place].key}))
    assert reading.readings(part(), "es")[place].own == ""


def test_own_cue_words_are_no_longer_than_cue_words_may_be(cast: Cast, as_therapist: Client) -> None:
    place = next(n for n, line in enumerate(part().lines) if line.key.endswith(".cue"))
    page = as_therapist.post(url(), sent(set(), **{f"own_{place}": "x" * 200})).content.decode()
    assert "Not kept yet" in page
    assert not ReadText.objects.exists()


def test_an_assistant_reads_and_a_therapist_or_lead_keeps(
    cast: Cast, as_assistant: Client, as_lead: Client
) -> None:
    page = as_assistant.get(url()).content.decode()
    assert "Keep what was ticked" not in page
    assert as_assistant.post(url(), sent(None)).status_code == 403
    assert not ReadText.objects.exists()
    assert as_lead.post(url(), sent(None)).status_code == 302
    assert ReadText.objects.count() == len(part().lines)


@pytest.mark.parametrize("where", ["library/en", "library/xx", "library/es/no-such-part"])
def test_there_is_no_page_for_what_is_not_translated(where: str, cast: Cast, as_therapist: Client) -> None:
    assert as_therapist.get(f"/{where}").status_code == 404


def test_the_week_leads_to_the_view(cast: Cast, as_lead: Client) -> None:
    page = as_lead.get(reverse("this_week")).content.decode()
    assert reverse("library_words", args=["es"]) in page


class TestPagesSayWhetherASpeakerHasReadThem:
    """ "Nobody who speaks the language has checked this page" is true until all of it was read."""

    @staticmethod
    def plan(cast: Cast) -> Plan:
        cast.child.language = "es"
        cast.child.save()
        plan = people.signed_plan(cast)
        Plan.objects.filter(pk=plan.pk).update(when_it_goes_wrong="", praise="")
        return Plan.objects.get(pk=plan.pk)

    @staticmethod
    def reviewed(plan: Plan) -> frozenset[str]:
        return pages._setting(plan, "a4").reviewed

    def test_all_parts_must_be_read(self, cast: Cast) -> None:
        plan = self.plan(cast)
        assert self.reviewed(plan) == {"en"}
        read_all(cast, "pages", "log-sheet")
        assert self.reviewed(plan) == {"en"}
        read_all(cast, SKILL)
        assert self.reviewed(plan) == {"en", "es"}
        ReadText.objects.filter(key__startswith="log-sheet.").first().delete()
        assert self.reviewed(plan) == {"en"}

    def test_words_of_the_childs_own_copy_must_be_among_them(self, cast: Cast) -> None:
        plan = self.plan(cast)
        read_all(cast, "pages", "log-sheet", SKILL)
        row = plan.version.steps.first()
        row.translations = {"es": {**row.translations["es"], "cue": "Otra cosa"}}
        row.save()
        assert self.reviewed(Plan.objects.get(pk=plan.pk)) == {"en"}

    def test_words_typed_for_the_plan_must_be_ready_ones_that_were_read(self, cast: Cast) -> None:
        plan = self.plan(cast)
        read_all(cast, "pages", "log-sheet", SKILL, "procedures")
        praise = next(way for way in library.procedures() if way.id == "praise")
        plan.praise = praise.told("es", wait=plan.wait_s, cap=plan.wait_s)
        assert wholly_read(plan, pages.spoken(plan)[0])
        plan.praise = "Bravo, campeona"
        assert not wholly_read(plan, pages.spoken(plan)[0])


def test_arabic_is_chosen_and_stands_from_the_right(cast: Cast, as_therapist: Client) -> None:
    first = as_therapist.get(reverse("library_words", args=["es"])).content.decode()
    assert reverse("library_words", args=["ar"]) in first
    arabic = as_therapist.get(reverse("library_words", args=["ar"])).content.decode()
    every = sum(len(each.lines) for each in translation.sections("ar"))
    assert every > 300
    assert f"None of the {every} texts has been read" in arabic
    assert reverse("library_words", args=["es"]) in arabic
    page = as_therapist.get(reverse("library_section", args=["ar", "pages"])).content.decode()
    assert page.count('lang="ar" dir="rtl"') == len(part_of("pages", "ar").lines)
    assert 'lang="es" dir="ltr"' in as_therapist.get(url("warm-ups")).content.decode()


def test_an_arabic_reading_is_kept_apart_from_a_spanish_one(cast: Cast, as_therapist: Client) -> None:
    line = part_of("procedures", "ar").lines[0]
    data = {"speaker": "Samira", "seen_0": line.digest, "ok_0": "on"}
    as_therapist.post(reverse("library_section", args=["ar", "procedures"]), data)
    kept = ReadText.objects.get()
    assert (kept.language, kept.key, kept.speaker) == ("ar", line.key, "Samira")
    assert not any(each.read for each in reading.readings(part("procedures"), "es"))


def test_a_language_without_words_is_no_page(as_therapist: Client) -> None:
    assert as_therapist.get(reverse("library_words", args=["fr"])).status_code == 404


def part_of(name: str, language: str) -> Section:
    found = translation.section(name, language)
    assert found is not None
    return found
