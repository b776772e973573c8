"""From a child's record to a report draft: which facts stand in which section of which kind of report.

Pure: the record, the period and the day come in as values.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bylittle.charts.graph import single_case
from bylittle.charts.media import PRINT
from bylittle.core.evidence import record_facts as facts
from bylittle.core.evidence.child_record import ChildRecord, KeptSkill
from bylittle.core.evidence.coaching_facts import coaching_facts
from bylittle.core.evidence.letter_facts import letter_facts
from bylittle.core.evidence.phases import phases_of
from bylittle.core.evidence.record_facts import Asked, Period, RecordFact, Where
from bylittle.core.evidence.series import series_of
from bylittle.core.faults import BadValue
from bylittle.core.plan.goal import ATTAINMENT_LEVELS
from bylittle.library import fidelity_items, red_flags
from bylittle.library.wording import book, phrase, say, told_day
from bylittle.library.wording.reports import Figure, Grid, Report, Section, lines, lowered, title

DAYS_OF = {"progress-note": 14, "ifsp-review": 182, "iep-progress": 91, "family-letter": 28}
"""How many days a kind of report looks back when nobody says (six months and a quarter by the trade's own
cycles; the others are defaults of ours). The others tell of the whole time."""
LANGUAGES = ("en", "es")
"""Languages of the family's letter; for another one it is drawn up in English, to be translated."""
DESIGN_CODES = ("design_ab", "design_staggered")

Facts = Callable[[Asked], Iterable[RecordFact]]
Table = Callable[[Asked, str], Grid | None]


@dataclass(frozen=True, slots=True)
class Part:
    """One section: what it tells of each skill, of the whole child, and what it asks of the therapist."""

    code: str
    each: tuple[Facts, ...] = ()
    whole: tuple[Callable[[ChildRecord, Period], Iterable[RecordFact]], ...] = ()
    tables: tuple[Table, ...] = ()
    child_tables: tuple[Callable[[ChildRecord, Period], Grid | None], ...] = ()
    graph: bool = False
    asks: bool = False
    needed: bool = False


def draft_report(
    record: ChildRecord,
    kind: str,
    made_on: date,
    *,
    period: Period | None = None,
    skills: Sequence[str] = (),
) -> Report:
    """The draft of one kind of report about some skills (all that are not parked when none is named).

    `period`: the days it is about; left out, the kind's own span up to `made_on`. BadValue for another kind,
    a period that ends before it begins or after `made_on`, and for a child without a skill to report on.
    """
    spoken = record.child.language if kind == "family-letter" else "en"
    language = spoken if spoken in LANGUAGES else "en"
    name = title(kind, language)
    period = period or _period(record, kind, made_on)
    if not period.first <= period.last <= made_on:
        raise BadValue("report_period", name="period", value=(period.first, period.last), allowed=made_on)
    chosen = _chosen(record, skills)
    sections = [
        section for part in PARTS[kind] for section in _sections(part, record, chosen, period, language)
    ]
    return Report(
        kind=kind, title=name, child=record.child.name, born=record.child.born, service=record.service,
        period=period, made_on=made_on, sections=tuple(sections), language=language,
    )  # fmt: skip


def _period(record: ChildRecord, kind: str, made_on: date) -> Period:
    days = [day for day in record.days if day <= made_on]
    if kind in DAYS_OF:
        return Period(made_on - timedelta(days=DAYS_OF[kind] - 1), made_on)
    return Period(min(days, default=made_on), made_on)


def period_of(kind: str, first: date | None, last: date) -> Period:
    """A period with its first day left open: as many days as the kind looks back, 91 where it has no span."""
    return Period(first or last - timedelta(days=DAYS_OF.get(kind, 91) - 1), last)


def _chosen(record: ChildRecord, skills: Sequence[str]) -> tuple[KeptSkill, ...]:
    if skills:
        return tuple(record.skill(each) for each in skills)
    found = tuple(skill for skill in record.skills if skill.state != "parked") or record.skills
    if not found:
        raise BadValue("report_without_skill", name="skill", value="", allowed="a skill of this child")
    return found


def _sections(
    part: Part, record: ChildRecord, skills: Sequence[KeptSkill], period: Period, language: str
) -> list[Section]:
    """A part as one section, or as one a skill where it tells of several, with the asking in the last."""
    asked = [Asked(record, skill, period) for skill in skills]
    about_skills = bool(part.each or part.tables or part.graph)
    if not about_skills or len(asked) == 1:
        return [_section(part, record, period, asked if about_skills else [], language)]
    last = asked[-1]
    return [
        _section(part, record, period, [each], language, more=each is not last, skill=each.skill)
        for each in asked
    ]


def _section(
    part: Part,
    record: ChildRecord,
    period: Period,
    asked: Sequence[Asked],
    language: str,
    *,
    more: bool = False,
    skill: KeptSkill | None = None,
) -> Section:
    """`more`: further skills follow, so what is told of the whole child and asked waits for the last one."""
    child = record.child.name
    told = [
        in_family_words(fact, each.skill, language)
        for each in asked
        for make in part.each
        for fact in make(each)
    ]
    grids = [make(each, child) for each in asked for make in part.tables]
    if not more:
        told += [fact for make in part.whole for fact in make(record, period)]
        grids += [make(record, period) for make in part.child_tables]
    heading = phrase("reports", "section", part.code, language)
    asks = part.asks and not more
    return Section(
        code=part.code if skill is None or not more else f"{part.code}:{skill.id}",
        title=f"{heading}: {skill.name}" if skill is not None else heading,
        lines=lines(told, language, child),
        grids=tuple(grid for grid in grids if grid is not None),
        figures=tuple(graph_of(each) for each in asked) if part.graph else (),
        ask=phrase("reports", "ask", part.code, language) if asks else "",
        needed=part.needed and not more,
    )


def in_family_words(fact: RecordFact, skill: KeptSkill, language: str) -> RecordFact:
    """A fact with the names of the skill and its steps as the family has them in its language.

    A name without a translation is left out, so that no letter mixes languages: its sentence says less.
    What the family itself told (stop signs, whom to call) stays as it was told.
    """
    if language == "en":
        return fact
    words = json.loads(skill.newest.translations or "{}")
    values = {name: value for name, value in fact.values.items() if name not in ("skill", "step_ids")}
    if name := words.get("whole", {}).get(language, {}).get("name"):
        values["skill"] = name
    if isinstance(ids := fact.values.get("step_ids"), tuple):
        said = words.get("steps", {})
        names = tuple(said.get(each, {}).get(language, {}).get("name", "") for each in ids)
        values = {key: value for key, value in values.items() if key not in ("steps", "help")}
        values |= {"steps": names} if all(names) else {}
    return replace(fact, values=values)


# --- facts of sections -----------------------------------------------------------------------------


def _of_codes(codes: Sequence[str], make: Facts) -> Facts:
    """Only the facts of these codes."""

    def some(asked: Asked) -> Iterable[RecordFact]:
        return [fact for fact in make(asked) if fact.code in codes]

    return some


def _change_only(asked: Asked) -> Iterable[RecordFact]:
    """Level, trend, overlap, agreement and cautions: all but what the practice facts of a period tell."""
    amount = ("taught", "practised", "missing", "stops", "help_course", "help_same", "nothing_practised")
    return [fact for fact in facts.change_facts(asked) if fact.code not in amount]


def _last_probe(asked: Asked) -> Iterable[RecordFact]:
    """Level before and now, with the design's limit, for a short note."""
    wanted = ("level_change", "level_before", "level_since", "no_baseline", "no_probe_since", *DESIGN_CODES)
    return [fact for fact in facts.change_facts(asked) if fact.code in wanted]


def _measure(asked: Asked) -> Iterable[RecordFact]:
    steps = sum(not step.adult_only for step in asked.skill.newest.steps.steps)
    return [RecordFact("measured_by", {"steps": steps}, asked.ref(Where.STEPS))]


def _state(asked: Asked) -> Iterable[RecordFact]:
    """Where the skill stands and where it breaks down."""
    skill, found = asked.skill, []
    for code in (f"state_{skill.state}", f"breakdown_{skill.breakdown}"):
        if code in book("reports")["fact"]:
            found.append(RecordFact(code, {}, asked.ref(Where.STEPS)))
    return found


def _coaching(asked: Asked) -> Iterable[RecordFact]:
    """How the adults help, with the items of the checklist by their names."""
    names = {item.id: str(item.name) for item in fidelity_items()}
    for fact in coaching_facts(asked):
        items = fact.values.get("items")
        if isinstance(items, tuple):
            told = tuple(f"“{lowered(names.get(item, str(item)).rstrip('.'))}”" for item in items)
            fact = replace(fact, values={**fact.values, "items": told})
        yield fact


def _checks(asked: Asked) -> Iterable[RecordFact]:
    found = facts.check_facts(asked)
    return found or [RecordFact("no_checks", {}, asked.ref(Where.CHECKS))]


def _reviews(asked: Asked) -> Iterable[RecordFact]:
    """The reviews, with red flags told by their question."""
    words = {flag.id: str(flag.question) for flag in red_flags()}
    for fact in facts.review_facts(asked):
        question = fact.values.get("question")
        told = words.get(str(question), str(question))
        yield replace(fact, values={**fact.values, "question_words": told}) if question else fact


def _open_flags(asked: Asked) -> Iterable[RecordFact]:
    """Red flags of the last review about which nothing is written down yet: the first thing to know."""
    last = [review.on for review in asked.skill.reviews if asked.period.holds(review.on)]
    return [f for f in _reviews(asked) if f.code == "red_flag_open" and f.values["on"] == max(last)]


def _due(asked: Asked) -> Iterable[RecordFact]:
    return [fact for fact in facts.check_facts(asked) if fact.code in ("check_due", "check_overdue")]


def _safety(record: ChildRecord, period: Period) -> Iterable[RecordFact]:
    return facts.safety_facts(record)


def _adults(record: ChildRecord, period: Period) -> Iterable[RecordFact]:
    names = tuple(adult.name for adult in record.adults)
    ref = (facts.Reference(Where.CHILD),)
    return [RecordFact("adults", {"names": names}, ref)] if names else []


# --- tables and the graph --------------------------------------------------------------------------


def _head(name: str) -> tuple[str, ...]:
    return tuple(book("reports")["table"][f"{name}_head"])


def _words(name: str) -> str:
    return phrase("reports", "table", name, "en")


def probe_table(asked: Asked, child: str) -> Grid | None:
    """Every probe with its day and count, so that the graph's numbers can be read."""
    rows = tuple(
        (told_day(p.day), _words("baseline" if p.baseline else "probe"), str(p.alone), str(p.steps))
        for p in facts.probe_list(asked)
    )
    return Grid(_words("probes"), _head("probes"), rows) if rows else None


def step_table(asked: Asked, child: str) -> Grid | None:
    """The steps as they are taught now: who does each with which help, cue words, hazards."""
    kept = asked.plan
    helps = {}
    if kept is not None:
        helps = {s.step_id: s.help_level for s in kept.plan.asked if s.help_level is not None}
    rows = []
    for number, step in enumerate(asked.skill.newest.steps.steps, 1):
        who = _words("adult_does")
        if kept is not None and step.id in helps:
            level = kept.plan.ladder.name(helps[step.id])
            who = say("reports", "table", "child_does", child=child, help=level)
        rows.append((str(number), step.name, who, step.cue, step.hazard))
    return Grid(_words("steps"), _head("steps"), tuple(rows))


def level_table(asked: Asked, child: str) -> Grid | None:
    """The five attainment levels, with the one at the start and the one rated last."""
    kept = asked.skill.goal
    if kept is None or not kept.goal.scaled:
        return None
    rating = kept.rated_by(asked.period.last)
    rows = []
    for level, text in zip(ATTAINMENT_LEVELS, kept.goal.levels, strict=True):
        marks = [_words("at_start")] if level == kept.goal.baseline_level else []
        if rating is not None and level == rating.level and rating.level != kept.goal.baseline_level:
            marks.append(f"{_words('last_rated')}, {told_day(rating.on)}")
        rows.append((f"{level:+d}" if level else "0", text, "; ".join(marks)))
    return Grid(_words("levels"), _head("levels"), tuple(reversed(rows)))


def visit_table(record: ChildRecord, period: Period) -> Grid | None:
    """The visits of the period, with their minutes and what was done."""
    rows = tuple(
        (told_day(v.on), str(v.minutes), str(v.timed_minutes), v.place, v.by, v.done)
        for v in record.visits
        if period.holds(v.on)
    )
    return Grid(_words("visits"), _head("visits"), rows) if rows else None


def graph_of(asked: Asked) -> Figure:
    """The skill's graph up to the end of the period, for paper."""
    skill, log = asked.skill, asked.log
    plans = [k.plan for k in skill.signed_plans if k.plan.start and k.plan.start <= asked.period.last]
    series = series_of(log, skill.newest.steps, skill.ladder.top)
    chart = single_case(
        series, phases_of(series, plans, facts.carry_over_from(skill)), medium=PRINT, ladder=skill.ladder,
        title=skill.name,
    )  # fmt: skip
    return Figure(chart.svg(f"graph-{skill.id}"), chart.title, chart.description)


PARTS: dict[str, tuple[Part, ...]] = {
    "progress-note": (
        Part("subjective", each=(facts.notes_written,), asks=True, needed=True),
        Part(
            "objective",
            each=(facts.practice_facts, _last_probe, _coaching, facts.record_facts),
            whole=(facts.visit_facts,),
            child_tables=(visit_table,),
        ),
        Part("assessment", each=(facts.goal_facts,), asks=True, needed=True),
        Part("plan", each=(facts.plan_facts, _reviews, _due), asks=True, needed=True),
    ),
    "ifsp-review": (
        Part("outcome", each=(facts.goal_facts,), whole=(facts.set_facts,), tables=(level_table,)),
        Part("done", each=(facts.practice_facts, facts.plan_facts, _coaching), whole=(facts.visit_facts,)),
        Part("progress", each=(_change_only,), tables=(probe_table,), graph=True),
        Part("family", asks=True, needed=True),
        Part("needed", each=(_reviews,), asks=True, needed=True),
    ),
    "iep-progress": (
        Part("goal", each=(facts.goal_facts, _measure)),
        Part("progress", each=(_last_probe, facts.practice_facts), tables=(probe_table,)),
        Part("judgement", asks=True, needed=True),
    ),
    "family-letter": (
        Part("letter", each=(letter_facts,)),
        Part("letter_words", asks=True),
    ),
    "discharge": (
        Part("learned", each=(_state, facts.goal_facts), whole=(facts.set_facts,), tables=(level_table,)),
        Part("progress", each=(facts.change_facts,), tables=(probe_table,), graph=True),
        Part("works", each=(facts.plan_facts, facts.what_works, _coaching), tables=(step_table,)),
        Part("carry", each=(_checks,)),
        Part("safety", each=(_open_flags,), whole=(_safety,)),
        Part("next", asks=True, needed=True),
    ),
    "handover": (
        Part("safety", each=(_open_flags,), whole=(_safety, _adults)),
        Part("now", each=(_state, facts.plan_facts, facts.goal_facts), tables=(step_table,)),
        Part("works", each=(facts.what_works, _coaching)),
        Part("progress", each=(facts.change_facts,), tables=(probe_table,), graph=True),
        Part("decisions", each=(_reviews,)),
        Part("carry", each=(_checks,)),
        Part("doubts", asks=True, needed=True),
    ),
}
