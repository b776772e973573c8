"""The same few people in every web test: a therapist, an assistant, a colleague, a lead, and a stranger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from bylittle import library
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.materials import Thing
from bylittle.web.people.models import Caregiver, Child, Person, Role
from bylittle.web.pictures import services as pictures
from bylittle.web.pictures.models import Consent, Picture, Tray, TrayPhoto
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import as_home_plan
from bylittle.web.practice import fidelity
from bylittle.web.practice import services as practice
from bylittle.web.practice.models import FidelityCheck
from bylittle.web.skills import breakdown, parked, screening, spoken
from bylittle.web.skills import services as skills
from bylittle.web.skills.models import BreakdownLook, MaterialScreen, Skill, SpokenWords
from bylittle.web.skills.queries import latest_version

TODAY = date.today()
PASSWORD = "gulls and terns 7"
READY = "pull-on-rain-boot"
SAFE = {
    "precautions": "none known",
    "allergies": "none known",
    "stop_signs": "turns away",
    "yes_signs": "reaches",
    "call": "Clinic 555-0100",
}


@dataclass(frozen=True)
class Cast:
    """`stranger` is a therapist of the same service who is not on the child's team."""

    therapist: Person
    assistant: Person
    lead: Person
    stranger: Person
    child: Child
    skill: Skill


def person(name: str, role: Role) -> Person:
    return Person.objects.create_user(
        username=name, password=PASSWORD, first_name=name.capitalize(), role=role
    )


def gather() -> Cast:
    """A child with one skill from a ready one, on the team of the therapist and the assistant."""
    therapist, assistant = person("ines", Role.THERAPIST), person("jonah", Role.ASSISTANT)
    lead, stranger = person("marit", Role.LEAD), person("stranger", Role.THERAPIST)
    child = Child.objects.create(name="Wren", born=date.today() - timedelta(days=1130))
    child.team.add(therapist, assistant)
    Caregiver.objects.create(child=child, name="Mum", initials="M")
    Caregiver.objects.create(child=child, name="Dad", initials="D")
    skill = skills.start_from_ready(child, library.skill(READY))
    return Cast(therapist, assistant, lead, stranger, child, skill)


def no_red_flags() -> dict[str, dict[str, object]]:
    return {name: {"yes": False, "done": ""} for name in plans.questions()}


def signed_plan(cast: Cast, help_level: int = 1, days_ago: int = 14) -> Plan:
    """A signed plan that asks the last step with `help_level`, begun some days ago."""
    last = latest_version(cast.skill).steps.last()
    plan = plans.draft_for(cast.skill, {last.step_id: help_level})
    plan.start = date.today() - timedelta(days=days_ago)
    plan.save()
    plans.answer_gate(plan, SAFE, no_red_flags(), cast.therapist)
    return plans.sign(plan, cast.therapist)


def baseline(cast: Cast, alone: tuple[int, ...] = (1, 1, 1), days_ago: int = 20) -> None:
    """Baseline points on running days: the first `n` steps alone on each."""
    version = latest_version(cast.skill)
    for number, count in enumerate(alone):
        day = date.today() - timedelta(days=days_ago - number)
        entries = [
            Entry(
                day=day,
                turn=1,
                step_id=row.step_id,
                outcome=Outcome.MANAGED if place < count else Outcome.NOT_MANAGED,
                source=Source.BASELINE,
                adult="Ines",
                offered=5,
                probe=ProbeKind.MULTIPLE,
            )
            for place, row in enumerate(version.steps.all())
        ]
        practice.write(cast.skill, version, entries, by=cast.therapist)


def practised(cast: Cast, plan: Plan, managed: bool = True, days: int = 8, turns: int = 3) -> None:
    """Home practice of the asked steps on the days before today."""
    for ago in range(days, 0, -1):
        for turn in range(1, turns + 1):
            entries = [
                Entry(
                    day=date.today() - timedelta(days=ago),
                    turn=turn,
                    step_id=step.step_id,
                    outcome=Outcome.MANAGED if managed else Outcome.NOT_MANAGED,
                    adult="M",
                    offered=step.help_level,
                )
                for step in plan.steps.filter(asked=True)
            ]
            practice.write(cast.skill, plan.version, entries, by=cast.therapist, plan=plan)


def screened(cast: Cast, thing: Thing | None = None, name: str = "Lace") -> MaterialScreen:
    """A thing of the skill held against the rules: a lace of 300 mm unless told otherwise."""
    thing = thing or Thing(cord_mm=300.0)
    return screening.keep(
        cast.skill, name, thing, allergy=None, swallowing=None, by=cast.therapist, today=date.today()
    )


def said(cast: Cast, adult: str, words: str, language: str = "en", at: int = 0) -> SpokenWords:
    """What an adult told of one step that the child learns."""
    step = spoken.taught(latest_version(cast.skill))[at].step_id
    told = {step: words}
    return spoken.keep(cast.skill, adult, language, told, at_visit=False, by=cast.therapist, today=TODAY)


def waiting(cast: Cast) -> list[Skill]:
    """Three skills behind the one being learned, the second of them marked as next."""
    names = ("wash-hands", "put-on-sun-hat", "snip-paper")
    line = [skills.start_from_ready(cast.child, library.skill(name)) for name in names]
    parked.mark_next(line[1], "she asks for it at the puddles")
    return line


def photo_of_a_boot(kind: str = "JPEG", size: tuple[int, int] = (640, 480), tint: int = 60) -> bytes:
    """A drawn stand-in for a photo: a boot on a plain ground, nobody on it."""
    picture = Image.new("RGB", size, (214, 208, 196))
    pen, (wide, high) = ImageDraw.Draw(picture), size
    pen.rectangle((wide * 0.4, high * 0.2, wide * 0.58, high * 0.75), fill=(tint, 90, 140))
    pen.rectangle((wide * 0.4, high * 0.6, wide * 0.75, high * 0.8), fill=(tint, 90, 140))
    out = BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def on_tray(cast: Cast, place: str = "") -> TrayPhoto:
    """A photo that the therapist sent in and has not kept yet."""
    tray = Tray.objects.create(by=cast.therapist, skill=cast.skill)
    file = SimpleUploadedFile("boot.jpg", photo_of_a_boot(), "image/jpeg")
    assert pictures.take(tray, [file], place) == []
    return tray.photos.get()


def agreed(cast: Cast, days: int = 182, given_ago: int = 0) -> Consent:
    """A consent of Mum that stands for so many more days."""
    return Consent.objects.create(
        child=cast.child,
        given_by="Mum",
        relation="mother",
        given_on=date.today() - timedelta(days=given_ago),
        until=date.today() + timedelta(days=days),
        noted_by=cast.therapist,
    )


def pictured(cast: Cast, place: str = "", consent: Consent | None = None) -> Picture:
    """A kept picture: of the next place in order unless told otherwise."""
    tray = on_tray(cast, place).tray
    (kept,) = pictures.keep(tray, consent or agreed(cast), cast.therapist)
    return kept


def looked(cast: Cast, *seen: str) -> BreakdownLook:
    """Quick looks that point to the doing, unless others are told."""
    return breakdown.keep(cast.skill, seen or ("copy-clumsy", "easier-large", "both-poor"), cast.therapist)


def coached(cast: Cast, plan: Plan, adult: str = "M", answer: str = "done", **other: str) -> FidelityCheck:
    """A check of an adult today in which every item was seen as `answer`, but for those told by item."""
    items = [planned.item.id for planned in fidelity.checklist(as_home_plan(plan))]
    seen = {**dict.fromkeys(items, answer), **other}
    return FidelityCheck.objects.create(
        skill=cast.skill, plan=plan, adult=adult, on=date.today(), seen=seen, by=cast.therapist
    )
