"""The smaller parts of a child's record: looks, screens, closings, coaching checks, files, reports, pictures.

`..._json` fields hold JSON text of what has no fixed shape; times are moments with their zone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class TypedText:
    """A text exactly as typed, where the lines that a value holds do not say all of it."""

    field: str
    text: str


@dataclass(frozen=True, slots=True)
class KeptLook:
    """What the quick looks showed on a day, and what they pointed to then (`kind` empty: nowhere)."""

    on: date
    seen: tuple[str, ...]
    strength: str
    kind: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class KeptScreen:
    """A thing held against the safety rules on a day; `age_months`: the age that counted."""

    name: str
    on: date
    thing_json: str
    age_months: float
    strict: bool
    food_allergy: bool | None = None
    swallow_concern: bool | None = None
    mouths: bool | None = None
    verdict: str = ""
    findings_json: str = "[]"
    left_out_on: date | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class KeptClosing:
    """Why a skill was closed, what was tried, and when it was taken up again, if it was."""

    on: date
    reason: str
    tried: str = ""
    by: str = ""
    reopened_on: date | None = None
    reopened_by: str = ""


@dataclass(frozen=True, slots=True)
class KeptSpoken:
    """What one adult says at each step, in `language` ("xx": another one), told or heard at a visit."""

    on: date
    adult: str
    language: str
    words: tuple[tuple[str, str], ...] = ()
    at_visit: bool = False
    by: str = ""


@dataclass(frozen=True, slots=True)
class KeptFidelity:
    """How one adult practised at a visit: what was seen of each item of the checklist of plan `plan`."""

    on: date
    adult: str
    plan: int
    seen: tuple[tuple[str, str], ...] = ()
    note: str = ""
    by: str = ""

    def answers(self) -> Mapping[str, str]:
        """{item: what was seen}."""
        return dict(self.seen)


@dataclass(frozen=True, slots=True)
class KeptImport:
    """A file that was taken in: its digest tells the same content again; `rows` came of it."""

    name: str
    digest: str
    rows: int
    by: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class KeptScan:
    """A photographed page of a log sheet: what was read, what a person settled, which rows came of it.

    `records`: (row of the sheet, line of the practice record from 1). `picture`: name of the file in
    `ChildRecord.files`, empty where it is kept no longer.
    """

    at: datetime
    by: str
    name: str
    digest: str
    state: str
    plan: int
    part: int = 1
    why: str = ""
    sheet: str = ""
    page: int = 1
    ink_json: str = "{}"
    places_json: str = "{}"
    rows_json: str = "{}"
    picture: str = ""
    width: int = 0
    height: int = 0
    start: date | None = None
    adults_json: str = "{}"
    changed: str = ""
    records: tuple[tuple[str, int], ...] = ()
    put_right: tuple[str, ...] = ()
    accepted_by: str = ""
    accepted_at: datetime | None = None
    refusal: str = ""
    week: str = ""
    initials: tuple[str, ...] = ()
    trail_json: str = "[]"
    free_word: str | None = None


@dataclass(frozen=True, slots=True)
class KeptHindrance:
    """What a family ticked under "what got in the way?" from day to day, or wrote; `back`: taken back."""

    first: date
    last: date
    what: str
    source: str
    plan: int | None = None
    photograph: str = ""
    by: str = ""
    at: datetime | None = None
    back_by: str = ""
    back_at: datetime | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class KeptReport:
    """A report as it stood: `content` to the letter as it was drafted or signed."""

    kind: str
    content: str
    made_by: str
    made_at: datetime
    signed_by: str = ""
    signed_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class KeptConsent:
    """Who allowed what with pictures of the child, and until when (the last day).

    `renews`: the consent, counted from 1, that this one took the pictures over from.
    """

    purpose: str
    given_by: str
    relation: str
    given_on: date
    until: date
    noted_by: str
    noted_at: datetime
    withdrawn_on: date | None = None
    withdrawn_by: str = ""
    renews: int | None = None


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A picture of one place of a skill. `consent`: its number from 1; `photo`: name of the file, if kept.

    `shows`: (language, what it shows). `thing`: of the open set, instead of a photo and a consent.
    """

    place: str
    consent: int | None
    kept_by: str
    kept_at: datetime
    shows: tuple[tuple[str, str], ...] = ()
    photo: str = ""
    thing: str = ""
    from_clip: bool = False
    deleted_on: date | None = None
    deleted_by: str = ""


@dataclass(frozen=True, slots=True)
class KeptPlanPicture:
    """Which picture a signed plan is printed with at a place; `picture`: its number in the skill, from 1."""

    plan: int
    edition: int
    place: str
    picture: int
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that goes with the record: a JPEG picture."""

    name: str
    content: bytes
