"""What the adult is taught: ways to help, what to look for at a visit, and the talk before the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bylittle.library.catalogue import MARKS, rows
from bylittle.library.datafile import Reader
from bylittle.library.faults import FileFault
from bylittle.library.text import LANGUAGES, Text

PARTS = (
    "set_up",
    "routine",
    "cue_words",
    "wait",
    "asked_steps",
    "order_of_help",
    "error_response",
    "praise",
    "stop_sign",
    "dose",
    "record",
)
ORDERS = ("fixed offer", "least-to-most")
PROCEDURE_KINDS = ("order of help", "chaining", "moment")
TALK_PARTS = ("child", "routine", "fit", "body", "close")


@dataclass(frozen=True, slots=True)
class FidelityItem:
    """One thing to look for; `part` of the plan it belongs to, `order` of help it needs (None: any)."""

    id: str
    part: str
    order: str | None
    name: Text


@dataclass(frozen=True, slots=True)
class Prompt:
    """A question to ask aloud: teach-back, or the talk before the plan (`part` says which)."""

    id: str
    part: str
    name: Text


@dataclass(frozen=True, slots=True)
class Procedure:
    """A way to help, to chain, or to meet a moment, with its rule in a parent's words."""

    id: str
    kind: str
    order: str | None
    """The order of help of the plan that it belongs to, where it is one."""
    name: Text
    rule: Text
    suits: str
    defaults: Mapping[str, int]
    evidence: str
    mark: str
    rule_ar: str = ""
    """The rule in Arabic, for the ways whose rule stands on the home plan; empty for the others."""

    def told(self, language: str, **values: object) -> str:
        """The rule in `language`, with the plan's numbers in it; defaults where the plan has none."""
        words = self.rule_ar if language == "ar" and self.rule_ar else self.rule.text(language)
        return words.format(**{**self.defaults, **values})

    def speaks(self, language: str) -> bool:
        """Whether the rule is written in this language."""
        return language in LANGUAGES or (language == "ar" and bool(self.rule_ar))


def read_fidelity(faults: list[FileFault]) -> tuple[FidelityItem, ...]:
    """Every item of the checklist, in the order looked at."""
    return rows("fidelity.toml", "items", _fidelity, faults, also=("mark", "teach_back"))


def _fidelity(part: Reader) -> FidelityItem:
    order = part.choice("order", ORDERS) if part.has("order") else None
    return FidelityItem(part.words("id"), part.choice("part", PARTS), order, part.text("name"))


def read_teach_back(faults: list[FileFault]) -> tuple[Prompt, ...]:
    """What the adult is asked to say or show back."""

    def read(part: Reader) -> Prompt:
        return Prompt(part.words("id"), "teach back", part.text("name"))

    return rows("fidelity.toml", "teach_back", read, faults, also=("mark", "items"))


def read_talk(faults: list[FileFault]) -> tuple[Prompt, ...]:
    """The talk before the plan, and the honest close."""

    def read(part: Reader) -> Prompt:
        return Prompt(part.words("id"), part.choice("part", TALK_PARTS), part.text("name"))

    return rows("talk.toml", "questions", read, faults)


def read_procedures(faults: list[FileFault]) -> tuple[Procedure, ...]:
    """Every way to help, to chain, and to meet a moment."""
    return rows("procedures.toml", "procedures", _procedure, faults)


def _procedure(part: Reader) -> Procedure:
    return Procedure(
        id=part.words("id"),
        kind=part.choice("kind", PROCEDURE_KINDS),
        order=part.choice("order", ORDERS) if part.has("order") else None,
        name=part.text("name"),
        rule=part.text("rule"),
        suits=part.words("suits"),
        defaults=_defaults(part.part("defaults")),
        evidence=part.words("evidence"),
        mark=part.choice("mark", MARKS),
        rule_ar=part.words("rule_ar", ""),
    )


def _defaults(part: Reader) -> dict[str, int]:
    return {name: part.whole(name) for name in part.table}
