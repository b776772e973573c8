"""Each form of export, through the one door of the browser and the command line."""

from __future__ import annotations

import json

import pytest

from bylittle.core.faults import BadValue
from bylittle.files.archive import read_archive
from bylittle.workflows.export import ENDINGS, FORMS, export_record
from tests.child_records import TODAY, full

ID = "Q8W3Z7XK"


def test_the_archive_is_the_record() -> None:
    assert read_archive(export_record(full(), "archive", TODAY)) == full()


def test_the_other_forms_are_what_they_say() -> None:
    assert json.loads(export_record(full(), "fhir", TODAY))["resourceType"] == "Bundle"
    assert export_record(full(), "csv", TODAY).startswith(b"case,skill,phase,time")
    told = json.loads(export_record(full(), "deidentified", TODAY, ID))
    assert (told["id"], told["skills"][0]["skill"]) == (ID, full().skills[0].library_id)


def test_forms_and_endings_match_and_others_are_refused() -> None:
    assert set(FORMS) == set(ENDINGS)
    with pytest.raises(BadValue):
        export_record(full(), "paper", TODAY)
    with pytest.raises(BadValue):
        export_record(full(), "deidentified", TODAY)
