"""The archive loses nothing: every field of every model goes along, or stays behind for a reason told."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from django.db.models import NOT_PROVIDED

from bylittle.core.evidence.child_record import ChildRecord
from bylittle.files.archive import read_archive, write_archive
from bylittle.files.report_json import read_report
from bylittle.web.people.models import Child, Person, Role
from bylittle.web.reports.record_of import record_of
from bylittle.web.reports.taking_in import take_in
from tests import whole_child
from tests.cast import TODAY, Cast, person
from tests.whole_child import BELONGS, STAY


@pytest.fixture
def child(cast: Cast) -> Child:
    return whole_child.fill(cast)


@pytest.fixture
def elsewhere(child: Child, settings, tmp_path: Path):
    """The archive of the child, taken in by another service: nobody of the first one is known there."""
    told = whole_child.everything(child)
    data = write_archive(record_of(child, files=True), TODAY)
    for member in Person.objects.all():
        member.first_name, member.username = f"Somebody {member.pk}", f"other{member.pk}"
        member.save()
    settings.DATA_DIR = tmp_path / "other service"
    copy = take_in(read_archive(data), person("petra", Role.THERAPIST))
    return told, data, copy


def test_every_model_goes_along_or_stays_for_a_reason() -> None:
    known = {model._meta.label for model in whole_child.models()}
    assert known == set(BELONGS) | set(STAY)
    assert not set(BELONGS) & set(STAY)


def test_the_child_has_every_field_filled_in(child: Child) -> None:
    """Else a lost field would come back equal: a new field is filled in here before it may be carried."""
    bare = []
    for label in BELONGS:
        rows = whole_child.rows_of(label, child)
        for field in whole_child.fields_of(type(rows[0])):
            if field.many_to_many:
                continue
            values = [getattr(row, field.attname) for row in rows]
            if all(value in (None, "", [], {}, False, _default(field)) for value in values) and not _no(
                field, values
            ):
                bare.append(f"{label}.{field.name}")
    assert bare == []


def _default(field):
    default = field.default
    return default() if callable(default) and default is not NOT_PROVIDED else default


def _no(field, values: list[object]) -> bool:
    """A question that may stay open and was answered no."""
    return field.null and False in values


def test_every_row_is_there_as_it_was(elsewhere) -> None:
    told, _, copy = elsewhere
    back = whole_child.everything(copy)
    back["people.Child"][0]["team"].remove("Petra")
    for label in BELONGS:
        assert back[label] == told[label], label


def test_the_archive_of_the_copy_is_the_archive(elsewhere) -> None:
    _, data, copy = elsewhere
    again = record_of(copy, files=True)
    assert _unnumbered(again) == _unnumbered(read_archive(data))


def _unnumbered(record: ChildRecord) -> ChildRecord:
    """The record without what belongs to the service that holds it: numbers, names to sign in by."""
    skills = tuple(replace(skill, id="") for skill in record.skills)
    hands, team = (
        tuple(sorted((replace(who, user="") for who in group if who.name != "Petra"), key=str))
        for group in (record.hands, record.team)
    )
    return replace(record, id="", skills=skills, hands=hands, team=team)


def test_a_signed_report_stays_to_the_letter_and_can_be_checked(elsewhere) -> None:
    told, data, copy = elsewhere
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        digests = dict(json.loads(archive.read("about.json"))["files"])
    signed = copy.reports.get(signed_at__isnull=False)
    assert hashlib.sha256(signed.content.encode()).hexdigest() in digests.values()
    assert read_report(signed.content).signed_by == signed.signed_by.shown_name == "Ines"
    assert signed.content in [row["content"] for row in told["reports.KeptReport"]]
    assert not signed.signed_by.is_active


def test_the_archive_says_what_stays_behind(elsewhere) -> None:
    _, data, _ = elsewhere
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        left = json.loads(archive.read("about.json"))["left_out"]
    assert "accounts" in left
    assert "photographs without a consent that stands" in left
