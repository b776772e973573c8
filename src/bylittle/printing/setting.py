"""What is chosen for a page besides the plan itself: paper, size of text, languages, who signed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.library.wording import family
from bylittle.look.type_scale import FAMILY_LARGEST_PT, FAMILY_SMALLEST_PT

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class PageSetting:
    """Paper, body text in points (14 to 18), language, an optional second one, the signature, the hand.

    `reviewed`: languages whose words a speaker has checked; other pages say that nobody has.
    `allergies` and `cautions`: the gate's answers and the skill's own cautions, word for word.
    """

    paper: Paper = "a4"
    text_size: float = FAMILY_SMALLEST_PT
    language: str = "en"
    second_language: str | None = None
    signed_by: str = ""
    signed_on: date | None = None
    left_handed: bool = False
    reviewed: frozenset[str] = frozenset({"en"})
    allergies: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        raise_all(faults_of(self))

    @property
    def signed(self) -> bool:
        """True when a name and a day of signing are there."""
        return bool(self.signed_by.strip()) and self.signed_on is not None


def faults_of(setting: PageSetting) -> list[Fault]:
    """Everything wrong with a setting, told together."""
    found: list[Fault] = []
    if setting.paper not in PAPERS:
        found.append(BadValue("paper", name="paper", value=setting.paper, allowed=PAPERS))
    if not FAMILY_SMALLEST_PT <= setting.text_size <= FAMILY_LARGEST_PT:
        allowed = (FAMILY_SMALLEST_PT, FAMILY_LARGEST_PT)
        found.append(BadValue("text_size", name="text_size", value=setting.text_size, allowed=allowed))
    for language in (setting.language, setting.second_language):
        if language is not None and language not in family.LANGUAGES:
            allowed_languages = family.LANGUAGES
            found.append(
                BadValue("language_without_words", name="language", value=language, allowed=allowed_languages)
            )
    if bool(setting.signed_by.strip()) != (setting.signed_on is not None):
        value = (setting.signed_by, setting.signed_on)
        found.append(BadValue("half_a_signature", name="signed_by", value=value, allowed="name and day"))
    return found
