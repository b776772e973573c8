"""Reports in words: sections of sentences, each with the data it rests on, facts apart from judgement.

A report is a draft for a therapist to edit and sign. Sections of judgement begin empty and ask for what only
she can say. A sentence that she changed says so and keeps its reference. Nothing is written that no fact
holds.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from bylittle.core.evidence.record_facts import Period, RecordFact, Reference
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.library.wording import best, book, phrase, say, short_day, told_day, told_list
from bylittle.library.wording.advice import decision_title

KINDS = ("progress-note", "ifsp-review", "iep-progress", "family-letter", "discharge", "handover")
OR = {"en": "or", "es": "o"}
_O_SOUND = re.compile(r"h?[oó]|8|11\b", re.IGNORECASE)
"""Spanish says u for o before the sound of an o (ocho, once)."""


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence, the code of its fact, and what it can be checked against. `edited`: changed by hand."""

    text: str
    code: str
    refers_to: tuple[Reference, ...] = ()
    edited: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: the first row of cells names the columns."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing as SVG text with its words."""

    svg: str
    title: str
    about: str


@dataclass(frozen=True, slots=True)
class Section:
    """Facts (`lines`, `grids`, `figures`) and, where `ask` is not empty, room for the therapist's own words.

    `needed`: a report is not signed while `written` is empty.
    """

    code: str
    title: str
    lines: tuple[Line, ...] = ()
    grids: tuple[Grid, ...] = ()
    figures: tuple[Figure, ...] = ()
    ask: str = ""
    written: str = ""
    needed: bool = False


@dataclass(frozen=True, slots=True)
class Report:
    """One report of one child. Without a signature it is a draft and every page says so."""

    kind: str
    title: str
    child: str
    born: date
    service: str
    period: Period
    made_on: date
    sections: tuple[Section, ...]
    language: str = "en"
    signed_by: str = ""
    signed_on: date | None = None

    @property
    def signed(self) -> bool:
        """True when a name and a day of signing are there."""
        return bool(self.signed_by.strip()) and self.signed_on is not None

    @property
    def for_family(self) -> bool:
        """True for the letter: no margin, large type, short words."""
        return self.kind == "family-letter"


def with_words(report: Report, code: str, written: str) -> Report:
    """The draft with the therapist's own words in one section; BadValue where it has no such section."""
    place = _place(report, code)
    section = report.sections[place]
    if not section.ask:
        raise BadValue("report_section_facts", name="section", value=code, allowed=_own_sections(report))
    return _changed(report, place, replace(section, written=written.strip()))


def with_line(report: Report, code: str, line: int, text: str) -> Report:
    """The draft with one sentence changed by hand, or taken out where `text` is empty. `line` from 0."""
    place = _place(report, code)
    section = report.sections[place]
    if not 0 <= line < len(section.lines):
        raise BadValue("out_of_range", name="line", value=line, allowed=(0, len(section.lines) - 1))
    old, new = section.lines[line], text.strip()
    kept = (replace(old, text=new, edited=old.edited or new != old.text),) if new else ()
    return _changed(
        report, place, replace(section, lines=(*section.lines[:line], *kept, *section.lines[line + 1 :]))
    )


def signed(report: Report, by: str, on: date) -> Report:
    """The signed report, which never changes again.

    Faults, told together: half a signature, signed already, a judgement that is needed and not written.
    """
    found: list[Fault] = []
    if not by.strip():
        found.append(BadValue("half_a_signature", name="signed_by", value=by, allowed="name and day"))
    if report.signed:
        found.append(BadValue("report_is_signed", name="report", value=report.signed_by, allowed="a draft"))
    if on < report.made_on:
        found.append(BadValue("out_of_range", name="signed_on", value=on, allowed=(report.made_on, None)))
    for section in report.sections:
        if section.needed and not section.written.strip():
            found.append(BadValue("report_not_written", name=section.title, value="", allowed=section.ask))
    raise_all(found)
    return replace(report, signed_by=by.strip(), signed_on=on)


def _place(report: Report, code: str) -> int:
    if report.signed:
        raise BadValue("report_is_signed", name="report", value=report.signed_by, allowed="a draft")
    for place, section in enumerate(report.sections):
        if section.code == code:
            return place
    allowed = tuple(section.code for section in report.sections)
    raise BadValue("not_one_of", name="section", value=code, allowed=allowed)


def _own_sections(report: Report) -> tuple[str, ...]:
    return tuple(section.code for section in report.sections if section.ask)


def _changed(report: Report, place: int, section: Section) -> Report:
    return replace(report, sections=(*report.sections[:place], section, *report.sections[place + 1 :]))


def title(kind: str, language: str = "en") -> str:
    """The name of a kind of report; BadValue for another word or a language it has no words in."""
    if kind not in KINDS:
        raise BadValue("report_kind", name="kind", value=kind, allowed=KINDS)
    return phrase("reports", "kind", kind, language)


def lines(facts: Iterable[RecordFact], language: str = "en", child: str = "") -> tuple[Line, ...]:
    """One line for each fact, in their order."""
    facts = tuple(facts)
    steps_changed = any(fact.code == "steps_changed" for fact in facts)
    return tuple(_line(fact, language, child, steps_changed) for fact in facts)


def _line(fact: RecordFact, language: str, child: str, steps_changed: bool) -> Line:
    code = "level_change_steps" if fact.code == "level_change" and steps_changed else fact.code
    told = best(_phrases(code, language), _values(fact, child, language), language)
    return Line(told[:1].upper() + told[1:], fact.code, fact.refers_to)


def _phrases(code: str, language: str) -> str | Sequence[str]:
    for topic in ("reports", "evidence"):
        found = book(topic)["fact"].get(code, {}).get(language)
        if found is not None:
            return found  # type: ignore[no-any-return]
    raise BadValue("no_words", name="reports", value=f"{code}.{language}", allowed=("reports", "evidence"))


def _values(fact: RecordFact, child: str, language: str) -> Mapping[str, object]:
    """The values of a fact, with the forms that sentences need: lower case, joined by or, points."""
    values = dict(fact.values)
    values["child"] = child or phrase("advice", "levels", "child", language)
    for name, value in fact.values.items():
        if isinstance(value, str):
            values[f"{name}_lower"] = lowered(value.strip().rstrip("."))
        elif isinstance(value, tuple):
            values[f"{name}_lower"] = told_list([lowered(str(item)) for item in value], language)
            values[f"{name}_or"] = _either([str(item) for item in value], language)
        elif isinstance(value, float) and name in ("low", "high", "gap", "gap_low", "gap_high"):
            points = round(100 * value)
            values[f"{name}_points"] = f"{points:+d}" if points else "0"
    for name in ("advised", "decided"):
        if isinstance(told := values.get(name), str):
            values[f"{name}_title_lower"] = lowered(_decision(told, language))
    if isinstance(level := values.get("level"), int):
        values["level_told"] = f"{level:+d}" if level else "0"
    if "place" in values:
        values["place_adult"] = _with_adult(values)
    return values


def lowered(words: str) -> str:
    """Words as they stand inside a sentence: the first letter small, unless the word is all capitals."""
    first = words.split(" ")[0] if words else ""
    return words if len(first) > 1 and first.isupper() else words[:1].lower() + words[1:]


def _either(items: Sequence[str], language: str) -> str:
    if len(items) < 2:
        return told_list(items, language)
    joint = "u" if language == "es" and _O_SOUND.match(items[-1]) else OR[language]
    return f"{', '.join(items[:-1])} {joint} {items[-1]}"


def _decision(word: str, language: str) -> str:
    known = book("advice")["decisions"]
    return decision_title(word, language) if word in known else word


def _with_adult(values: Mapping[str, object]) -> str:
    told = [str(values[name]) for name in ("place", "adult") if values.get(name)]
    return " with ".join(told) or "anywhere"


def reference_words(refers_to: Iterable[Reference], language: str = "en") -> str:
    """What a sentence rests on, as short as a margin needs: `probes, 12 Oct to 23 Nov 2026`."""
    return "; ".join(dict.fromkeys(_reference(each, language) for each in refers_to))


def _reference(each: Reference, language: str) -> str:
    told = phrase("reports", "reference", each.where.value, language)
    if each.first is None or each.last is None:
        return told
    if each.first == each.last:
        return f"{told}, {told_day(each.last)}"
    same_year = each.first.year == each.last.year
    first = short_day(each.first) if same_year else told_day(each.first)
    return f"{told}, {first} to {told_day(each.last)}"


def page_words(report: Report) -> dict[str, str]:
    """The words of the page around the sections: the draft band or the signature, the head, the foot."""
    language = report.language
    told = {
        name: phrase("reports", "page", name, language)
        for name in ("yours", "page", "of", "draft", "unreviewed")
    }
    if report.signed:
        told["signed"] = say(
            "reports", "page", "signed", language=language, by=report.signed_by, on=report.signed_on
        )
    if report.for_family:
        greeting = say("reports", "page", "greeting", language=language, child=report.child)
        return {
            **told,
            "greeting": greeting,
            "made": say("reports", "page", "made", language=language, on=report.made_on),
        }
    values = {
        "born": report.born,
        "first": report.period.first,
        "last": report.period.last,
        "on": report.made_on,
    }
    for name in ("born", "period", "made", "facts", "edited", "opinion", "graph_elsewhere"):
        told[name] = say("reports", "page", name, language=language, **values)
    return told
