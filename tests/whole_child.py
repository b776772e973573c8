"""A child with every field of every model filled in, and all her rows as comparable values."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from io import BytesIO
from typing import Any

from django.apps import apps
from django.db.models import Field, Model
from PIL import Image

from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.web.people.models import Child, Person, Role
from bylittle.web.pictures.models import Consent, Picture
from bylittle.web.plans.models import Gate, Goal, Plan
from bylittle.web.practice.models import Import, InTheWay, Record, RecordKind
from bylittle.web.reports import kept_files, services
from bylittle.web.reports.models import KeptReport
from bylittle.web.reviews.models import Review
from bylittle.web.scans.models import Scan, ScanState
from bylittle.web.skills.models import Skill, SkillVersion
from tests.cast import TODAY, Cast, person

#: How each model's rows hang on the child.
BELONGS = {
    "people.Child": "pk",
    "people.Routine": "child",
    "people.Caregiver": "child",
    "skills.Skill": "child",
    "skills.SkillVersion": "skill__child",
    "skills.StepRow": "version__skill__child",
    "skills.ReadinessAnswer": "skill__child",
    "skills.BreakdownLook": "skill__child",
    "skills.MaterialScreen": "skill__child",
    "skills.SpokenWords": "skill__child",
    "skills.Closing": "skill__child",
    "plans.Plan": "skill__child",
    "plans.PlanStep": "plan__skill__child",
    "plans.Gate": "plan__skill__child",
    "plans.PlanPicture": "plan__skill__child",
    "plans.Goal": "skill__child",
    "plans.GoalRating": "goal__skill__child",
    "practice.Visit": "child",
    "practice.ScoredTwice": "skill__child",
    "practice.FidelityCheck": "skill__child",
    "practice.Import": "skill__child",
    "practice.InTheWay": "skill__child",
    "practice.Record": "skill__child",
    "reports.KeptReport": "child",
    "reviews.Review": "skill__child",
    "reviews.Carryover": "skill__child",
    "scans.Scan": "plan__skill__child",
    "pictures.Consent": "child",
    "pictures.Picture": "skill__child",
}
#: Models that stay behind, and why.
STAY = {
    "people.Person": "an account belongs to its service; the name and the role of whoever wrote go along",
    "people.Service": "the settings of the service that holds the record; its name is told to readers",
    "skills.ReadText": "what speakers read for this service of the library; nothing of a child",
    "reviews.KeptAdvice": "worked out from the log again at any time",
    "pictures.Tray": "one person's own photographs before anybody agreed to keep them; short-lived",
    "pictures.TrayPhoto": "lies on a tray",
}
#: Fields of the rows that stay behind, and why.
NUMBERED = "the database numbers its rows itself"


def models() -> list[type[Model]]:
    """All models of the program."""
    return [model for model in apps.get_models() if model.__module__.startswith("bylittle.")]


def fields_of(model: type[Model]) -> list[Field]:
    """Every field but the row's own number."""
    return [field for field in (*model._meta.concrete_fields, *model._meta.many_to_many) if not _own(field)]


def _own(field: Field) -> bool:
    return bool(getattr(field, "primary_key", False))


def rows_of(label: str, child: Child) -> list[Model]:
    """The child's rows of one model, oldest first."""
    manager = apps.get_model(label)._base_manager
    return list(manager.filter(**{BELONGS[label]: child.pk}).order_by("pk"))


def everything(child: Child) -> dict[str, list[dict[str, Any]]]:
    """All rows of a child; rows of hers are named by their place, people by their names."""
    rows = {label: rows_of(label, child) for label in BELONGS}
    places = {(label, row.pk): place for label, told in rows.items() for place, row in enumerate(told)}
    return {
        label: [{field.name: _value(row, field, places) for field in fields_of(type(row))} for row in told]
        for label, told in rows.items()
    }


def _value(row: Model, field: Field, places: Mapping[tuple[str, int], int]) -> Any:
    if field.many_to_many:
        return sorted(person.shown_name for person in getattr(row, field.name).all())
    if field.is_relation:
        other = getattr(row, field.name)
        if isinstance(other, Person):
            return other.shown_name
        return None if other is None else (field.name, places[other._meta.label, other.pk])
    value = getattr(row, field.name)
    if isinstance(row, Scan) and field.name == "picture":
        return (kept_files.folder(kept_files.SCANS) / value).read_bytes() if value else ""
    if isinstance(row, Scan) and field.name == "records":
        return {name: places["practice.Record", key] for name, key in value.items()}
    return bytes(value) if isinstance(value, memoryview) else value


def jpeg(shade: int) -> bytes:
    out = BytesIO()
    Image.new("L", (8, 8), shade).save(out, "JPEG")
    return out.getvalue()


def moment(hour: int, day: int = 3) -> datetime:
    return datetime(2026, 2, day, hour, 30, 15, 123456, tzinfo=UTC)


def fill(cast: Cast) -> Child:
    """The cast's child with everything there can be; returns her."""
    child, skill = cast.child, cast.skill
    _who(child)
    helper = person("teo", Role.STUDENT)
    version = _versions(skill)
    draft, plan = _plans(skill, version, cast)
    _goal(skill)
    rows = _practice(skill, version, plan, cast, helper)
    _scan(plan, rows, cast)
    _seen(skill, plan, cast)
    _decided(skill, plan, cast, helper)
    _pictures(skill, plan, cast)
    for sign in (False, True):
        kept = services.draft(child, "family-letter", None, by=helper, today=TODAY)
        if sign:
            services.sign(kept, cast.therapist)
    KeptReport.objects.update(made_at=moment(9))
    assert draft.number > plan.number
    return Child.objects.get(pk=child.pk)


def _who(child: Child) -> None:
    told = {
        "due": child.born + timedelta(days=20),
        "left_handed": True,
        "language": "es",
        "second_language": "en",
        "loves": "puddles\r\n\r\nand gulls ",
        "finds_hard": "boots",
        "wears": "splint on",
        "mouths": False,
        "text_size": 18,
        "precautions": "none known",
        "allergies": "wool",
        "call": "Clinic 555-0100",
        "stop_signs": "turns away\r\n\r\n  lies down ",
        "yes_signs": "reaches\r\n",
        "created": moment(7),
    }
    Child.objects.filter(pk=child.pk).update(**told)
    child.refresh_from_db()
    child.routines.create(what="After breakfast", who="Mum", place="hall", minutes=5, mood="cheerful")
    child.visits.create(
        on=TODAY - timedelta(days=2), minutes=40, timed_minutes=23, place="home", done="Probe\r\nTalk"
    )
    child.visits.update(by=Person.objects.get(username="jonah"))


def _versions(skill: Skill) -> SkillVersion:
    told = {"state": "closed", "breakdown": "plan", "fits_in": "changed", "fits_in_note": "after lunch"}
    told |= {"waits_at": 2, "next_because": "wanted for nursery"}
    told |= {"adults_differ": True, "created": moment(8), "routine": "after lunch"}
    Skill.objects.filter(pk=skill.pk).update(**told)
    skill.refresh_from_db()
    old = skill.versions.get()
    row = {
        "mirrored": True,
        "materials": "boots \r\nlace",
        "grades": "wide\r\n\r\nusual",
        "usual_grade": "usual",
    }
    version = SkillVersion.objects.create(
        skill=skill,
        number=2,
        translations={"es": {"name": "Botas"}},
        origins={"open": ["old"]},
        created=moment(9),
        **row,
    )
    for place, step in enumerate(old.steps.all()):
        step.pk, step.version, step.position = None, version, place
        step.translations = {"es": {"name": "Abrir", "cue": "Abre"}}
        step.hazard, step.done_when = step.hazard or "slips", step.done_when or "open"
        step.adult_only = place == 0
        step.save()
    return version


def _plans(skill: Skill, version: SkillVersion, cast: Cast) -> tuple[Plan, Plan]:
    told = {
        "chaining": "forward",
        "leap_ahead": True,
        "order_of_help": "least-to-most",
        "procedure": "time_delay",
        "grade": "wide",
        "levels": ["by hand", "shown", "alone"],
        "routine": "after lunch",
        "turns_per_day": 3,
        "days": 5,
        "minutes": 4,
        "wait_s": 7,
        "when_it_goes_wrong": "Smile\r\nand help ",
        "praise": "You did it",
        "bad_days": "Once only",
        "start": TODAY - timedelta(days=14),
        "band_low": 0.65,
        "band_high": 0.85,
    }
    signature = {"signed_by": cast.therapist, "signed_at": moment(16), "initials": ["Q", "M"]}
    copy = {"letter": "B", "start": "2026-02-10", "whose": "nursery", "by": "Ines"}
    signature["copies"] = [copy | {"at": "2026-02-03T18:30:00+00:00"}]
    plan = Plan.objects.create(skill=skill, version=version, number=1, code="7F3A9C", **told, **signature)
    draft = Plan.objects.create(skill=skill, version=version, number=2, code="7F3A9C", **told)
    Plan.objects.update(created=moment(10))
    for each in (plan, draft):
        for place, row in enumerate(version.steps.all()):
            asked = place == 2
            each.steps.create(step_id=row.step_id, asked=asked, help_level=1 if asked else None)
    Gate.objects.create(
        plan=plan,
        answers={
            "a": {"yes": True, "done": "called"},
            "b": {"yes": False, "done": ""},
            "c": {"yes": None, "done": ""},
        },
        precautions="none\r\nknown",
        allergies="wool",
        stop_signs="turns away\r\n",
        yes_signs="a\r\n\r\nb",
        call="Clinic 555-0100",
        language_check="read",
        answered_by=cast.lead,
        answered_at=moment(15),
    )
    return draft, plan


def _goal(skill: Skill) -> None:
    names = ("much_less", "less", "expected", "more", "much_more")
    levels = {name: f"{place} steps alone" for place, name in enumerate(names)}
    goal = Goal.objects.create(
        skill=skill,
        statement="Wren pulls her boot on",
        baseline_level=-2,
        by=TODAY,
        written_on=date(2026, 1, 7),
        **levels,
    )
    said = {"rated_by": "caregiver", "name": "Mum", "note": "at Nana's"}
    goal.ratings.create(on=TODAY - timedelta(days=1), level=-1, **said)


def _practice(skill: Skill, version: SkillVersion, plan: Plan, cast: Cast, helper: Person) -> list[Record]:
    """Lines of two files of one name, one line put right twice, one taken out."""
    files = [
        Import.objects.create(
            skill=skill, name="log.csv", digest=str(n) * 64, rows=n, by=helper, at=moment(n)
        )
        for n in (1, 2)
    ]
    step = version.steps.all()[2].step_id
    told = {
        "skill": skill,
        "version": version,
        "plan": plan,
        "step_id": step,
        "outcome": Outcome.NEEDED,
        "source": Source.PROBE,
        "adult": "M",
        "offered": 1,
        "needed": 1,
        "order": "least-to-most",
        "place": "hall",
        "grade": "wide",
        "note": "wet\r\nday",
        "probe": ProbeKind.MULTIPLE,
        "at": moment(17),
    }
    day = TODAY - timedelta(days=5)
    rows = [
        Record.objects.create(day=day, turn=turn, imported=files[turn - 1], by=helper, **told)
        for turn in (1, 2)
    ]
    other = {"day": day, "kind": RecordKind.CORRECTED, "reason": "misread", "by": cast.assistant}
    stop = told | {"outcome": Outcome.STOPPED, "offered": None, "needed": None}
    rows.append(Record.objects.create(turn=3, about=rows[0], **other, **stop))
    rows.append(Record.objects.create(turn=1, about=rows[2], **other, **told))
    away = other | {"kind": RecordKind.MOVED_AWAY, "reason": "another child"}
    rows.append(Record.objects.create(turn=2, about=rows[1], **away, **told))
    skill.scored_twice.create(
        first_source="visit", first_adult="Ines", second_source="visit", second_adult="Jonah"
    )
    return rows


def _scan(plan: Plan, rows: list[Record], cast: Cast) -> None:
    (kept_files.folder(kept_files.SCANS) / "abc123.jpg").write_bytes(jpeg(200))
    told = {
        "by": cast.assistant,
        "at": moment(18),
        "digest": "d" * 64,
        "sheet": "7F3A9C-1-A",
        "plan": plan,
        "ink": {"b2": ["marked", 0.8], "b1": ["blank", 0.1]},
        "places": {"b1": [0.1, 0.2]},
        "width": 8,
        "height": 8,
        "rows": {"r1": "b2", "r2": None},
        "start": TODAY - timedelta(days=7),
        "adults": {"1": "M", "2": "?"},
        "initials": ["M", "D"],
        "trail": [{"at": "2026-02-03T18:30:00+00:00", "by": "Ines", "what": "settled", "row": "r1"}],
    }
    done = {"state": ScanState.ACCEPTED, "accepted_by": cast.therapist, "accepted_at": moment(19)}
    done |= {"records": {"r1": rows[1].pk, "r2": rows[0].pk}, "put_right": ["r1"], "changed": "right"}
    done |= {"picture": "abc123.jpg", "part": 2, "page": 2, "why": "dim"}
    done |= {"week": "another", "refusal": "no_number", "free_word": "Boots too tight"}
    Scan.objects.create(name="first.jpg", **told, **done)
    Scan.objects.create(name="second.jpg", **told)
    ticked = {"skill": plan.skill, "plan": plan, "source": "paper"}
    ticked |= {"photograph": "d" * 64 + "-2", "by": cast.assistant, "at": moment(21)}
    ticked |= {"first": TODAY - timedelta(days=7), "last": TODAY}
    InTheWay.objects.create(what="tired", **ticked)
    InTheWay.objects.create(what="their words", words="Boots too tight", **ticked)
    InTheWay.objects.create(what="no time", back_by=cast.therapist, back_at=moment(22), **ticked)


def _seen(skill: Skill, plan: Plan, cast: Cast) -> None:
    by, on = cast.assistant, TODAY - timedelta(days=9)
    skill.readiness.create(item="sits", answer="adapted", adaptation="Sit against the wall")
    skill.breakdown_looks.create(on=on, by=by, seen=["x", "y"], strength="leans", kind="idea")
    skill.screens.create(
        name="Lace",
        on=on,
        by=by,
        thing={"cord_mm": 300.0},
        food_allergy=True,
        swallow_concern=True,
        mouths=True,
        age_months=37.25,
        strict=True,
        verdict="warn",
        findings=[{"code": "cord", "limit": 220}],
        left_out_on=TODAY,
    )
    heard = {"adult": "Mum", "language": "es", "words": {"open": "Ábrela", "pull": "Tira  fuerte"}}
    skill.spoken_words.create(on=on, by=by, at_visit=True, **heard)
    skill.spoken_words.create(on=on, adult="Nana", language="xx", words={"open": "Aufmachen"})
    seen = {"cue_words": "done", "wait": "partly"}
    skill.fidelity_checks.create(plan=plan, on=on, adult="M", seen=seen, note="Try waiting", by=by)


def _decided(skill: Skill, plan: Plan, cast: Cast, helper: Person) -> None:
    flags = {"a": {"yes": True, "done": "called"}, "b": {"yes": False, "done": ""}}
    Review.objects.create(
        skill=skill,
        plan=plan,
        on=TODAY - timedelta(days=3),
        advised="hold",
        decided="pause",
        reason="a new baby",
        advised_why=[{"code": "band", "values": {"chance": 0.71, "low": 0.5}}],
        red_flags=flags,
        by=cast.lead,
        at=moment(20),
    )
    skill.carryovers.create(
        due=TODAY, place="nursery", adult="Nana", done_on=TODAY, kept=True, note="with the other boot"
    )
    skill.carryovers.create(due=TODAY)
    skill.closings.create(
        on=TODAY - timedelta(days=2),
        by=cast.therapist,
        reason="priority",
        tried="Two ways\r\n",
        reopened_on=TODAY,
        reopened_by=helper,
    )


def _pictures(skill: Skill, plan: Plan, cast: Cast) -> None:
    told = {"child": skill.child, "given_by": "Mum", "relation": "mother", "noted_by": cast.assistant}
    told |= {"purpose": "helpers", "given_on": TODAY - timedelta(days=9), "noted_at": moment(12)}
    old = Consent.objects.create(
        until=TODAY, withdrawn_on=TODAY - timedelta(days=1), withdrawn_by=cast.therapist, **told
    )
    new = Consent.objects.create(until=TODAY + timedelta(days=90), renews=old, **told)
    row = {"skill": skill, "kept_by": cast.therapist, "kept_at": moment(13), "shows": {"es": "la bota"}}
    picture = Picture.objects.create(place="open", photo=jpeg(90), from_clip=True, consent=new, **row)
    plan.pictures.create(edition=2, place="open", picture=picture, by=cast.lead, at=moment(14))
    Picture.objects.create(place="slide", thing="boot", **row)
    gone = {"deleted_on": TODAY - timedelta(days=1), "deleted_by": cast.therapist}
    Picture.objects.create(place="pull", photo=None, consent=old, **row, **gone)
