"""Is the record whole? The database, the chain of the record's words, what is signed, and the kept files.

The record holds no digest of its rows: a value that somebody changed in the database with other tools, and
that still fits everything else, is not found here.
"""

from __future__ import annotations

import io
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.models import F, Q
from PIL import Image

from bylittle.core.faults import BadValue, Fault
from bylittle.files.report_json import read_report
from bylittle.web.pictures.models import Picture
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Record, RecordKind
from bylittle.web.reports.models import KeptReport
from bylittle.web.scans.keeping import PLACE
from bylittle.web.scans.models import Scan
from bylittle.web.skills.models import StepRow

MOST_TOLD = 100  # damages of one kind; a database that is broken through and through is told once


@dataclass(frozen=True, slots=True)
class Damage:
    """Something that is not whole: `where` it stands, and `what` is wrong with it."""

    where: str
    what: str


@dataclass(frozen=True, slots=True)
class Checked:
    """How much was looked at, by name, and the damage found."""

    looked_at: dict[str, int]
    damage: tuple[Damage, ...]


def database(path: Path) -> tuple[Damage, ...]:
    """What SQLite itself finds wrong with its file: pages, indexes, rows that point to nothing."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=rw", uri=True)) as kept:
            told = [row[0] for row in kept.execute(f"PRAGMA integrity_check({MOST_TOLD})")]
            found = [Damage("database", str(each)) for each in told if each != "ok"]
            loose = kept.execute("PRAGMA foreign_key_check").fetchmany(MOST_TOLD)
    except sqlite3.DatabaseError as problem:
        return (Damage("database", str(problem)),)
    found += [
        Damage(f"{table}, row {row}", f"points to nothing in {other}") for table, row, other, _ in loose
    ]
    return tuple(found)


def of_this_version() -> None:
    """BadValue where the records were written by another version of the program."""
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise BadValue(
            "records_of_another_version", name="data", value=str(settings.DATA_DIR), allowed="serve"
        )


def checked() -> Checked:
    """Look at all of the record, and change nothing."""
    looked_at = {
        "marks": Record.objects.count(),
        "signed plans": Plan.objects.filter(signed_at__isnull=False).count(),
        "signed reports": KeptReport.objects.filter(signed_at__isnull=False).count(),
        "sheets": Scan.objects.exclude(picture="").count(),
        "photos": Picture.objects.filter(photo__isnull=False).count(),
    }
    looks: tuple[Callable[[], Iterator[Damage]], ...] = (_marks, _plans, _reports, _sheets, _photos)
    return Checked(looked_at, tuple(damage for look in looks for damage in look()))


def _marks() -> Iterator[Damage]:
    """Each later word stands after the one that it is about; each mark is of a step of its own skill."""
    later = Record.objects.filter(about__isnull=False)
    for row in later.filter(Q(about__gte=F("pk")) | ~Q(about__skill=F("skill"))):
        yield Damage(f"mark {row.pk}", f"is a later word about mark {row.about_id}, which is not before it")
    entry = Q(kind=RecordKind.ENTRY)
    for row in Record.objects.filter((entry & Q(about__isnull=False)) | (~entry & Q(about__isnull=True))):
        yield Damage(f"mark {row.pk}", "does not say which mark it corrects")
    for row in Record.objects.filter(
        ~Q(version__skill=F("skill")) | ~Q(plan=None) & ~Q(plan__skill=F("skill"))
    ):
        yield Damage(f"mark {row.pk}", "is of another skill than its steps or its plan")
    known = set(StepRow.objects.values_list("version", "step_id"))
    for pk, version, step in Record.objects.values_list("pk", "version", "step_id"):
        if (version, step) not in known:
            yield Damage(f"mark {pk}", f"names a step that its version does not have: {step}")


def _plans() -> Iterator[Damage]:
    """A signed plan has steps of its own version, and an asked one among them."""
    for plan in Plan.objects.filter(signed_at__isnull=False).select_related("version"):
        steps = {step.step_id: step for step in plan.steps.all()}
        if plan.version.skill_id != plan.skill_id:
            yield Damage(f"plan {plan.code}, {plan.number}", "is of another skill than its steps")
        if set(steps) != {row.step_id for row in plan.version.steps.all()}:
            yield Damage(f"plan {plan.code}, {plan.number}", "does not say who does each of its steps")
        elif not any(step.asked for step in steps.values()):
            yield Damage(f"plan {plan.code}, {plan.number}", "is signed and asks no step")


def _reports() -> Iterator[Damage]:
    for report in KeptReport.objects.filter(signed_at__isnull=False):
        try:
            read_report(report.content)
        except (Fault, ValueError, KeyError, TypeError):
            yield Damage(f"report {report.pk}", "cannot be read any more")


def _sheets() -> Iterator[Damage]:
    """The marks of an accepted sheet are in the record; the picture that it names is there and opens."""
    there = set(Record.objects.values_list("pk", flat=True))
    for scan in Scan.objects.all():
        if gone := sorted(set(scan.records.values()) - there):
            yield Damage(f"sheet {scan.pk}", f"names marks that are not in the record: {gone}")
        path = Path(settings.DATA_DIR) / PLACE / scan.picture
        if scan.picture and not path.is_file():
            yield Damage(f"sheet {scan.pk}", f"its picture is gone: {Path(PLACE) / scan.picture}")
        elif scan.picture and not _opens(path.read_bytes()):
            yield Damage(f"sheet {scan.pk}", f"its picture does not open: {Path(PLACE) / scan.picture}")


def _photos() -> Iterator[Damage]:
    for picture in Picture.objects.filter(photo__isnull=False).iterator():
        if not _opens(bytes(picture.photo or b"")):
            yield Damage(f"photo {picture.pk}", "does not open")


def _opens(data: bytes) -> bool:
    try:
        with Image.open(io.BytesIO(data)) as picture:
            picture.load()
    except (OSError, SyntaxError, ValueError):
        return False
    return True
