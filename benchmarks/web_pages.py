"""Server time and database queries of every page of the demo. Promised: under 150 ms at the median."""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from pathlib import Path

PROMISED_MS = 150.0
ROUNDS = 5


def main() -> int:
    """Print a line a page, the slowest last; 1 where the median breaks the promise."""
    with tempfile.TemporaryDirectory() as folder:
        _prepare(Path(folder))
        rows = sorted((_measure(address), address) for address in _addresses())
    for (median, questions), address in rows:
        print(f"{median:7.1f} ms  {questions:3d} questions  {address}")
    middle = statistics.median(median for (median, _), _ in rows)
    print(f"median of {len(rows)} pages: {middle:.1f} ms (promised {PROMISED_MS:.0f})")
    return int(middle > PROMISED_MS)


def _prepare(folder: Path) -> None:
    from bylittle.web.data_directory import migrate, prepare

    prepare(folder)
    from django.conf import settings

    settings.ALLOWED_HOSTS = ["testserver"]
    migrate()
    from bylittle.web.demo_caseload import load

    os.environ.pop("DATABASE_URL", None)
    load("only for measuring")


def _addresses() -> list[str]:
    from django.urls import reverse

    from bylittle.web.people.models import Child
    from bylittle.web.plans.models import Plan
    from bylittle.web.skills.models import Skill

    found = [reverse("this_week"), reverse("child_new")]
    found += [
        reverse(name, args=[child.pk]) for child in Child.objects.all() for name in ("child", "skill_choose")
    ]
    pages = (
        "skill_steps",
        "probe_new",
        "turn_new",
        "record",
        "review",
        "history",
        "plan_edit",
        "import_file",
    )
    found += [reverse(name, args=[skill.pk]) for skill in Skill.objects.all() for name in pages]
    return found + [reverse("plan", args=[plan.pk]) for plan in Plan.objects.all()]


def _measure(address: str) -> tuple[float, int]:
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from bylittle.web.people.models import Person

    client = Client()
    client.force_login(Person.objects.get(username="ines"))
    client.get(address)
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        client.get(address)
        times.append(1000 * (time.perf_counter() - start))
    with CaptureQueriesContext(connection) as asked:
        client.get(address)
    return statistics.median(times), len(asked)


if __name__ == "__main__":
    raise SystemExit(main())
