"""Writing the invented caseload into the records, once: by the same way as a child's archive comes in."""

from __future__ import annotations

from datetime import date

import numpy as np
from django.db import transaction
from django.utils import timezone

from bylittle import library
from bylittle.core.practice.log import PracticeLog
from bylittle.demo.child_record import child_record
from bylittle.demo.load import SEED, caseload
from bylittle.demo.values import CALL, SERVICE, TEAM, DemoChild
from bylittle.web.people.models import Person, Service
from bylittle.web.reports import taking_in
from bylittle.web.reviews.advice import advised, as_json, setting_of
from bylittle.web.reviews.models import Review
from bylittle.web.skills import translations
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from bylittle.workflows.advise_log import advise_log

USERS = tuple(member.user for member in TEAM)


@transaction.atomic
def load(password: str) -> None:
    """Make the team and the nine children; nothing where there are people already but the password."""
    if Person.objects.exists():
        _set_password(password)
        return
    for member in TEAM:
        _person(member.user, member.first_name, member.last_name, member.role)
    _set_password(password)
    Service.objects.create(name=SERVICE, call=CALL)
    today = timezone.localdate()
    for child in caseload(today, np.random.default_rng(SEED)):
        advised(_load_child(child), today)


def _person(user: str, first: str, last: str, role: str) -> Person:
    return Person.objects.create(username=user, first_name=first, last_name=last, role=role)


def _set_password(password: str) -> None:
    for person in Person.objects.filter(username__in=USERS):
        if not person.check_password(password):
            person.set_password(password)
            person.save(update_fields=["password"])


def _load_child(told: DemoChild) -> Skill:
    """The child from her record, the library's words in other languages, and the advice of past reviews."""
    child = taking_in.written(child_record(told, visited=False), by=None)
    skill = child.skills.get()
    for language in translations.TRANSLATED:
        translations.translate_from(latest_version(skill), library.skill(told.skill_id), language)
    log = PracticeLog.of(told.log)
    for review in skill.reviews.select_related("plan"):
        _advise(review, skill, log)
    return skill


def _advise(review: Review, skill: Skill, log: PracticeLog) -> None:
    """What would have been advised at a past review, from the log as it stood that day."""
    found = advise_log(
        _before(log, review.on), setting_of(skill, latest_version(skill), review.plan), review.on
    )
    review.advised, review.advised_why = found.decision, as_json(found)["why"]
    review.save(update_fields=["advised", "advised_why"])


def _before(log: PracticeLog, day: date) -> PracticeLog:
    return PracticeLog.of(entry for entry in log.entries() if entry.day < day)
