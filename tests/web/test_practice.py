"""Writing practice down: blank is never zero, nothing is overwritten, a file comes in whole or not at all."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from bylittle.core.faults import Contradiction
from bylittle.core.practice.marks import Outcome, Source
from bylittle.web.plans.models import Plan
from bylittle.web.practice import services
from bylittle.web.practice.models import AppendOnly, Record
from bylittle.web.practice.queries import as_entry, log_of
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()


def turn(plan: Plan, mark: str = "1", **changes: str) -> dict[str, str]:
    asked = plan.steps.get(asked=True).step_id
    return {"day": TODAY.isoformat(), "source": "visit", "adult": "Ines", f"mark_{asked}": mark, **changes}


def test_a_turn_at_a_visit_is_written_down(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    url = reverse("turn_new", args=[cast.skill.pk])
    as_therapist.post(url, turn(plan, "3"))
    as_therapist.post(url, turn(plan, "stopped"))
    first, second = log_of(cast.skill).entries()
    assert (first.outcome, first.needed, first.offered, first.turn) == (Outcome.NEEDED, 3, 1, 1)
    assert (second.outcome, second.turn) == (Outcome.STOPPED, 2)


def test_a_future_date_is_told_and_what_was_typed_is_kept(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    tomorrow = (TODAY + timedelta(days=1)).isoformat()
    response = as_therapist.post(
        reverse("turn_new", args=[cast.skill.pk]), turn(plan, day=tomorrow, note="in the hall")
    )
    page = response.content.decode()
    assert "still to come" in page
    assert "in the hall" in page
    assert not Record.objects.exists()


def test_a_blank_turn_is_not_a_miss(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    page = as_therapist.post(reverse("turn_new", args=[cast.skill.pk]), turn(plan, mark="")).content.decode()
    assert "never a no" in page
    assert not Record.objects.exists()


def test_a_single_opportunity_probe_says_nothing_after_the_first_miss(
    cast: Cast, as_therapist: Client
) -> None:
    steps = [row.step_id for row in latest_version(cast.skill).steps.all()]
    marks = {f"mark_{step}": "managed" for step in steps} | {f"mark_{steps[1]}": "not managed"}
    data = {"day": TODAY.isoformat(), "kind": "single", "adult": "Ines", **marks}
    as_therapist.post(reverse("probe_new", args=[cast.skill.pk]), data)
    entries = log_of(cast.skill).entries()
    assert [entry.step_id for entry in entries] == steps[:2]
    assert {entry.source for entry in entries} == {Source.BASELINE}


def test_a_probe_after_the_first_plan_is_no_baseline(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    step = latest_version(cast.skill).steps.first().step_id
    data = {"day": TODAY.isoformat(), "kind": "multiple", "adult": "Ines", f"mark_{step}": "managed"}
    as_therapist.post(reverse("probe_new", args=[cast.skill.pk]), data)
    assert log_of(cast.skill).entries()[0].source is Source.PROBE


def test_a_correction_leaves_the_first_version_in_the_record(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=1, turns=1)
    row = Record.objects.get()
    as_therapist.post(reverse("record_correct", args=[row.pk]), {"mark": "stopped", "reason": "read wrongly"})
    assert [entry.outcome for entry in log_of(cast.skill).entries()] == [Outcome.STOPPED]
    page = as_therapist.get(reverse("record", args=[cast.skill.pk])).content.decode()
    assert "read wrongly" in page
    assert "<s>managed with light touch</s>" in page


def test_a_row_taken_out_no_longer_counts_but_is_seen(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=1, turns=1)
    row = Record.objects.get()
    as_therapist.post(
        reverse("record_correct", args=[row.pk]), {"mark": "not here", "reason": "another child"}
    )
    assert log_of(cast.skill).entries() == ()
    assert "another child" in as_therapist.get(reverse("record", args=[cast.skill.pk])).content.decode()


def test_rows_are_never_changed_or_deleted(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=1, turns=1)
    row = Record.objects.get()
    row.note = "changed"
    with pytest.raises(AppendOnly):
        row.save()
    with pytest.raises(AppendOnly):
        row.delete()


def test_the_same_row_twice_is_one_row_and_another_content_is_refused(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=1, turns=1)
    entry = as_entry(Record.objects.get())
    assert services.write(cast.skill, plan.version, [entry], by=cast.therapist, plan=plan) == 0
    people_say = entry.__class__(**{**{name: getattr(entry, name) for name in entry.__slots__}, "note": "x"})
    with pytest.raises(Contradiction):
        services.write(cast.skill, plan.version, [people_say], by=cast.therapist, plan=plan)


HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"


def upload(client: Client, cast: Cast, text: str | bytes):
    data = text if isinstance(text, bytes) else text.encode()
    file = SimpleUploadedFile("log.csv", data, content_type="text/csv")
    return client.post(reverse("import_file", args=[cast.skill.pk]), {"file": file}, follow=True)


def test_a_file_comes_in_once(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    text = HEADER + f"{TODAY.isoformat()},1,6,light touch,managed,M,,,home,\n"
    assert "1 marks were added" in upload(as_therapist, cast, text).content.decode()
    assert "1 were already there" in upload(as_therapist, cast, text).content.decode()
    assert Record.objects.count() == 1


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (f"{TODAY + timedelta(days=2)},1,6,words,managed,M,,,home,", "line"),
        (f"{TODAY},1,99,words,managed,M,,,home,", "step"),
        (f"{TODAY},1,6,shouting,managed,M,,,home,", "level"),
    ],
)
def test_one_bad_line_keeps_the_whole_file_out(
    line: str, told: str, cast: Cast, as_therapist: Client
) -> None:
    people.signed_plan(cast)
    good = f"{TODAY.isoformat()},1,5,light touch,managed,M,,,home,\n"
    page = upload(as_therapist, cast, HEADER + good + line + "\n").content.decode().lower()
    assert "nothing was taken in" in page
    assert told in page
    assert '<td class="num">3</td>' in page
    assert not Record.objects.exists()


def test_a_file_in_another_encoding_is_told_how_to_be_saved(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    page = upload(as_therapist, cast, (HEADER + "2026-01-01,1,6,,stopped,Zoë,,,home,\n").encode("cp1252"))
    assert "UTF-8" in page.content.decode()
    assert not Record.objects.exists()
