"""An archive is taken in whole or not at all, whoever wrote it; an older one still comes in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.core.evidence.child_record import ChildRecord, TeamAdult, Written
from bylittle.core.evidence.kept_parts import KeptFile, KeptLook, KeptReport
from bylittle.core.faults import BadValue
from bylittle.core.practice.log import PracticeLog
from bylittle.files.archive import WrongArchive, read_archive, write_archive
from bylittle.files.plan_json import WrongJson
from bylittle.web.people.models import Child, Person, Role
from bylittle.web.practice import services
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import log_of
from bylittle.web.reports.record_of import record_of
from bylittle.web.reports.taking_in import take_in
from tests import cast as people
from tests.cast import TODAY, Cast, person
from tests.child_records import example, full
from tests.whole_child import moment

OLD = Path(__file__).parents[1] / "files" / "samples" / "archive_version_1.zip"


def test_an_archive_of_the_first_version_still_comes_in(cast: Cast) -> None:
    """Written by the program as it was before the second version: the demo's Otto, with corrections."""
    record = read_archive(OLD.read_bytes())
    copy = take_in(record, cast.lead)
    skill = copy.skills.get()
    assert (copy.name, copy.text_size) == ("Otto", 14)
    assert log_of(skill).entries() == record.skills[0].log.entries()
    assert Record.objects.filter(skill=skill).count() == len(record.skills[0].practice) == 42
    assert [plan.signed for plan in skill.plans.all()] == [plan.signed for plan in record.skills[0].plans]
    assert skill.plans.first().initials == list(record.skills[0].plans[0].plan.adults)
    assert Record.objects.get(skill=skill, imported__isnull=False).imported.name == "log.csv"


def test_a_record_that_points_nowhere_leaves_nothing(cast: Cast) -> None:
    record = full()
    skill = replace(record.skills[0], practice=(replace(record.skills[0].practice[0], version=9),))
    before = Child.objects.count()
    with pytest.raises(BadValue) as told:
        take_in(replace(record, skills=(skill,)), cast.lead)
    assert told.value.values["name"] == "skills[1].practice[1].version"
    assert Child.objects.count() == before


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("state", "won", "skill.state"),
        ("name", "x" * 81, "skill.name"),
        ("looks", (KeptLook(TODAY, (), "x" * 40),), "breakdownlook.strength"),
    ],
)
def test_a_value_that_no_field_may_hold_leaves_nothing(
    field: str, value: object, told: str, cast: Cast
) -> None:
    record = example()
    before = Child.objects.count(), Person.objects.count()
    with pytest.raises(BadValue) as fault:
        take_in(replace(record, skills=(replace(record.skills[0], **{field: value}),)), cast.lead)
    assert fault.value.values["name"] == told
    assert (Child.objects.count(), Person.objects.count()) == before


def test_a_turn_too_large_for_the_record_is_told(cast: Cast) -> None:
    record = example()
    line = record.skills[0].practice[0]
    huge = replace(line, record=replace(line.record, turn=2**70))
    with pytest.raises(BadValue) as fault:
        take_in(replace(record, skills=(replace(record.skills[0], practice=(huge,)),)), cast.lead)
    assert fault.value.values["name"] == "record.turn"


def test_a_report_that_cannot_be_read_is_refused_with_the_archive() -> None:
    report = KeptReport("handover", "no report at all", "Ines Falk", moment(9))
    with pytest.raises(WrongJson):
        read_archive(write_archive(replace(example(), reports=(report,)), TODAY))


def test_only_pictures_go_along(cast: Cast, client: Client) -> None:
    for file in (KeptFile("scans/a.jpg", b"<script>"), KeptFile("scans/../a.jpg", b"\xff\xd8\xff")):
        with pytest.raises(WrongArchive) as told:
            read_archive(write_archive(replace(example(), files=(file,)), TODAY))
        assert told.value.code == "archive_part_unknown"


def test_only_the_same_name_and_sign_in_is_the_same_person(cast: Cast) -> None:
    """Somebody who happens to be called alike gets neither the child nor the signature."""
    record = record_of(cast.child)
    namesake = replace(record, team=(TeamAdult("Ines", "therapist", "ines.elsewhere"),), hands=())
    copy = take_in(namesake, cast.lead)
    assert cast.therapist not in copy.team.all()
    assert cast.therapist in take_in(record, cast.lead).team.all()


def test_two_people_of_one_name_stay_two(cast: Cast) -> None:
    other = person("ines2", Role.ASSISTANT)
    other.first_name = "Ines"
    other.save()
    cast.child.team.add(other)
    record = record_of(cast.child)
    assert [adult.name for adult in record.team] == ["Ines", "Jonah", "Ines (ines2)"]
    assert set(take_in(record, cast.lead).team.all()) == {cast.therapist, cast.assistant, other, cast.lead}


def test_who_corrected_goes_by_name(cast: Cast) -> None:
    """Never by a number of the database: it means somebody else in another one."""
    people.practised(cast, people.signed_plan(cast), days=1, turns=1)
    services.take_out(Record.objects.get(), by=cast.assistant, reason="another child")
    last: Written = record_of(cast.child).skills[0].practice[-1]
    assert last.record.by == last.by == "Jonah"


def test_the_page_says_what_stays_behind(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("reports", args=[cast.child.pk])).content.decode()
    assert "Left out of the archive" in page


def test_a_copy_counts_the_same(cast: Cast) -> None:
    record = example("Otto")
    copy = take_in(record, cast.lead)
    told: ChildRecord = record_of(copy)
    assert PracticeLog.of(line.record for line in told.skills[0].practice) == record.skills[0].log
