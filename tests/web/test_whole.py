"""Is the record whole? Each damage is found where it stands, and a whole record has none."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.utils import timezone

from bylittle.web.caseload import whole
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Record
from bylittle.web.reports.models import KeptReport
from bylittle.web.scans.models import Scan
from tests import cast as people
from tests.cast import Cast
from tests.web.test_scans import MARKS, accept, photograph, send


@pytest.fixture
def sheet(cast: Cast, as_therapist: Client) -> Scan:
    """A record with a signed plan, an accepted sheet and its picture."""
    (scan,) = send(as_therapist, photograph(people.signed_plan(cast, days_ago=7), MARKS))
    accept(as_therapist, scan)
    scan.refresh_from_db()
    return scan


def told() -> list[tuple[str, str]]:
    return [(each.where, each.what) for each in whole.checked().damage]


def by_hand(statement: str, *values: object) -> None:
    """Change the database past the program, as a wrong tool would."""
    with connection.cursor() as cursor:
        cursor.execute(statement, values)


def test_a_whole_record_has_no_damage(sheet: Scan) -> None:
    found = whole.checked()
    assert found.damage == ()
    assert (found.looked_at["marks"], found.looked_at["signed plans"], found.looked_at["sheets"]) == (3, 1, 1)


def test_a_picture_that_is_gone_or_changed_is_found(sheet: Scan) -> None:
    path = Path(settings.DATA_DIR) / "files" / "scans" / sheet.picture
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert told() == [(f"sheet {sheet.pk}", f"its picture does not open: files/scans/{sheet.picture}")]
    path.unlink()
    assert told() == [(f"sheet {sheet.pk}", f"its picture is gone: files/scans/{sheet.picture}")]


def test_a_mark_of_a_strange_step_or_skill_is_found(sheet: Scan) -> None:
    mark = Record.objects.first()
    assert mark is not None
    by_hand("UPDATE practice_record SET step_id = %s WHERE id = %s", "nowhere", mark.pk)
    assert told() == [(f"mark {mark.pk}", "names a step that its version does not have: nowhere")]


def test_a_correction_must_follow_what_it_corrects(sheet: Scan) -> None:
    first, second, *_ = Record.objects.values_list("pk", flat=True).order_by("pk")
    by_hand("UPDATE practice_record SET about_id = %s, kind = 'corrected' WHERE id = %s", second, first)
    assert told() == [(f"mark {first}", f"is a later word about mark {second}, which is not before it")]
    by_hand("UPDATE practice_record SET about_id = NULL WHERE id = %s", first)
    assert told() == [(f"mark {first}", "does not say which mark it corrects")]


def test_marks_that_a_sheet_put_into_the_record_must_be_there(sheet: Scan) -> None:
    gone = max(sheet.records.values())
    by_hand("DELETE FROM practice_record WHERE id = %s", gone)
    assert told() == [(f"sheet {sheet.pk}", f"names marks that are not in the record: [{gone}]")]


def test_a_signed_plan_keeps_its_steps(sheet: Scan) -> None:
    plan = Plan.objects.get()
    table = plan.steps.model._meta.db_table
    by_hand(f"DELETE FROM {table} WHERE plan_id = %s AND asked", plan.pk)
    assert told() == [(f"plan {plan.code}, {plan.number}", "does not say who does each of its steps")]


def test_a_signed_report_can_be_read(cast: Cast) -> None:
    report = KeptReport.objects.create(
        child=cast.child,
        kind="progress",
        content="{",
        made_by=cast.therapist,
        signed_by=cast.therapist,
        signed_at=timezone.now(),
    )
    assert told() == [(f"report {report.pk}", "cannot be read any more")]


def database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as made:
        made.execute("CREATE TABLE child (id INTEGER PRIMARY KEY, name TEXT)")
        made.execute("CREATE TABLE mark (id INTEGER PRIMARY KEY, child REFERENCES child(id), word TEXT)")
        made.execute("CREATE INDEX word ON mark (word)")
        made.execute("INSERT INTO child VALUES (1, 'Wren')")
        made.executemany("INSERT INTO mark VALUES (?, 1, ?)", [(n, f"word {n:05}") for n in range(2000)])
        made.commit()


def test_a_changed_byte_of_the_database_file_is_found(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite3"
    database(path)
    assert whole.database(path) == ()
    data = bytearray(path.read_bytes())
    data[data.index(b"word 01234")] ^= 1
    path.write_bytes(data)
    assert any("word" in each.what for each in whole.database(path))
    path.write_bytes(b"no database at all" * 400)
    assert [each.where for each in whole.database(path)] == ["database"]


def test_a_row_that_points_to_nothing_is_found(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite3"
    database(path)
    with closing(sqlite3.connect(path)) as made:
        made.execute("UPDATE mark SET child = 7 WHERE id = 12")
        made.commit()
    assert [(each.where, each.what) for each in whole.database(path)] == [
        ("mark, row 12", "points to nothing in child")
    ]
