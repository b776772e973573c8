"""From a skill's table to a `Skill`: checks everything and tells all faults together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bylittle.library.cuelanguage import Words, reads_like_another
from bylittle.library.datafile import Reader, Table, tell_duplicates
from bylittle.library.faults import FileFault
from bylittle.library.skill import (
    AREAS,
    DIRECTIONS,
    DOERS,
    HANDS,
    LEVERS,
    ORDERS,
    SHAPE_SIZES,
    SHAPES,
    STATUS,
    Age,
    Chaining,
    Grade,
    Hazard,
    Material,
    Need,
    Skill,
    Slip,
    Step,
)
from bylittle.library.text import LANGUAGES, Text

FORMAT = 1
NAMES = {"en": "English", "es": "Spanish"}


@dataclass(frozen=True, slots=True)
class Known:
    """What a skill file may point to: the catalogues it shares with the others."""

    hazards: Mapping[str, Hazard]
    needs: Mapping[str, Text]
    marks: Mapping[str, str]
    """Source id -> mark."""
    warmups: frozenset[str]
    words: Words


def read_skill(table: Table, file: str, known: Known, faults: list[FileFault]) -> Skill:
    """The skill in `table`; whatever is wrong with it is added to `faults`.

    Of a file that could not be read at all, that is the only fault: nothing in it is known to be missing.
    """
    unreadable = any(fault.code == "unreadable" and fault.values["file"] == file for fault in faults)
    reader = Reader(table, file, [] if unreadable else faults)
    if (number := reader.whole("format")) != FORMAT:
        reader.tell("format", "format", value=number, allowed=FORMAT)
    start = reader.text("start")
    steps = _steps(reader, start, known)
    made = Skill(
        id=reader.words("id"),
        version=reader.whole("version"),
        status=reader.choice("status", (STATUS,)),
        area=reader.choice("area", AREAS),
        name=reader.text("name"),
        why=reader.text("why"),
        routine=reader.text("routine"),
        start=start,
        steps=steps,
        materials=_materials(reader),
        grades=_grades(reader),
        readiness=tuple(_need(part, known) for part in reader.each("readiness", at_least=2)),
        slips=tuple(_slip(part, steps) for part in reader.each("slips", at_least=2)),
        hazards=_hazards(reader, known),
        ages=tuple(_age(part, known) for part in reader.each("ages", at_least=1)),
        chaining=_chaining(reader.part("chaining")),
        warmups=_warmups(reader, known),
    )
    reader.close()
    return made


def _steps(reader: Reader, start: Text, known: Known) -> tuple[Step, ...]:
    made: list[Step] = []
    for part in reader.each("steps", at_least=2):
        before = made[-1].done_when if made else start
        made.append(_step(part, before, known))
    tell_duplicates([step.id for step in made], "steps", reader.file, reader.faults)
    return tuple(made)


def _step(part: Reader, before: Text, known: Known) -> Step:
    step = Step(
        id=part.words("id"),
        name=part.text("name"),
        cue=part.text("cue"),
        starts_when=part.maybe_text("starts_when") or before,
        done_when=part.text("done_when"),
        hands=part.choice("hands", HANDS),
        order=part.choice("order", ORDERS, default="fixed"),
        by=part.choice("by", DOERS, default="child"),
        hazard=part.maybe_text("hazard"),
    )
    for language in LANGUAGES:
        if reads_like_another(step.cue.text(language), language, known.words):
            part.tell(
                "wrong_language", f"cue.{language}", value=step.cue.text(language), language=NAMES[language]
            )
    part.close()
    return step


def _materials(reader: Reader) -> tuple[Material, ...]:
    made = tuple(_material(part) for part in reader.each("materials", at_least=1))
    tell_duplicates([material.id for material in made], "materials", reader.file, reader.faults)
    return made


def _material(part: Reader) -> Material:
    shape = part.choice("shape", SHAPES) if part.has("shape") else None
    told = part.table.get("size", {})
    for name in SHAPE_SIZES.get(shape or "", ()):
        if not isinstance(told, Mapping) or name not in told:
            part.tell("missing", f"size.{name}")
    made = Material(part.words("id"), part.text("name"), shape, part.sizes("size"))
    part.close()
    return made


def _grades(reader: Reader) -> tuple[Grade, ...]:
    made = []
    for part in reader.each("grades", at_least=3):
        lever = part.choice("lever", LEVERS)
        grade = Grade(part.words("id"), part.text("name"), lever, part.yes("usual"), part.sizes("size"))
        made.append(grade)
        part.close()
    tell_duplicates([grade.id for grade in made], "grades", reader.file, reader.faults)
    if sum(grade.usual for grade in made) != 1:
        reader.tell("usual", "grades")
    return tuple(made)


def _need(part: Reader, known: Known) -> Need:
    item = part.choice("item", known.needs)
    made = Need(item, known.needs.get(item, Text("", "")), part.text("adapt"))
    part.close()
    return made


def _slip(part: Reader, steps: tuple[Step, ...]) -> Slip:
    answer = part.choice("step", [step.id for step in steps])
    cue = next((step.cue for step in steps if step.id == answer), Text("", ""))
    made = Slip(part.text("seen"), answer, cue)
    part.close()
    return made


def _hazards(reader: Reader, known: Known) -> tuple[Hazard, ...]:
    codes = reader.names("hazards")
    if not codes:
        reader.tell("empty", "hazards", needed=1)
    for code in codes:
        if code not in known.hazards:
            reader.tell("not_found", "hazards", value=code, allowed=", ".join(known.hazards))
    return tuple(known.hazards[code] for code in codes if code in known.hazards)


def _age(part: Reader, known: Known) -> Age:
    source = part.choice("source", known.marks)
    low, high = part.whole("low_months"), part.whole("high_months")
    if low > high:
        part.tell("age_order", "low_months", value=low)
    made = Age(low, high, source, known.marks.get(source, ""), part.words("note", default=""))
    part.close()
    return made


def _chaining(part: Reader) -> Chaining:
    made = Chaining(part.choice("direction", DIRECTIONS), part.words("why"))
    part.close()
    return made


def _warmups(reader: Reader, known: Known) -> tuple[str, ...]:
    wanted = reader.names("warmups")
    for name in wanted:
        if name not in known.warmups:
            reader.tell("not_found", "warmups", value=name, allowed=", ".join(sorted(known.warmups)))
    return wanted
