"""Report drafts: traceable, facts apart from judgement, nothing invented, plain enough for a family."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.evidence.kept_parts import KeptFidelity
from bylittle.core.evidence.record_facts import Period, RecordFact, Where
from bylittle.core.faults import BadValue, Fault, ManyFaults
from bylittle.files.report_json import read_report, write_report
from bylittle.files.values_json import dumped, to_data
from bylittle.library.readability import counts_of, flesch_kincaid_grade, inflesz
from bylittle.library.wording import book
from bylittle.library.wording.reports import KINDS, Report, lines, signed, with_line, with_words
from bylittle.workflows.report import PARTS, draft_report
from tests.child_records import TODAY, demo_records, example, full, six_months

NEVER = re.compile(r"\b(fail\w*|complian\w*|patient\w*|error\w*|streak\w*)\b", re.IGNORECASE)


def words_of(report: Report) -> list[str]:
    return [line.text for section in report.sections for line in section.lines]


def written(report: Report) -> Report:
    """The draft with every needed judgement written."""
    for section in report.sections:
        if section.needed:
            report = with_words(report, section.code, "My words.")
    return report


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", sorted(demo_records()))
def test_every_kind_can_be_drawn_up_for_every_child(kind: str, name: str) -> None:
    report = draft_report(example(name), kind, TODAY)
    assert not report.signed
    assert [section for section in report.sections if section.lines or section.ask]
    assert all("{" not in words and not NEVER.search(words) for words in words_of(report))


@pytest.mark.parametrize("kind", KINDS)
def test_every_sentence_says_which_data_it_rests_on(kind: str) -> None:
    report = draft_report(full(), kind, TODAY)
    loose = {line.code for s in report.sections for line in s.lines if not line.refers_to}
    assert loose == set()


@pytest.mark.parametrize("kind", KINDS)
def test_judgement_begins_empty_and_stands_apart_from_facts(kind: str) -> None:
    report = draft_report(full(), kind, TODAY)
    assert all(not section.written for section in report.sections)
    assert any(section.ask for section in report.sections)
    assert all(section.ask or not section.needed for section in report.sections)


def test_no_number_in_a_report_comes_from_nowhere() -> None:
    """Every date told lies in the record or is an end of the period."""
    record = example("Otto")
    report = draft_report(record, "handover", TODAY)
    known = set(record.days) | {TODAY, report.period.first, report.period.last}
    skill = record.skills[0]
    known |= {k.plan.start for k in skill.plans} | {k.signed_on for k in skill.plans}
    known |= {skill.goal.goal.by, skill.goal.written_on} | {c.due for c in skill.checks}  # type: ignore[union-attr]
    for section in report.sections:
        for line in section.lines:
            for ref in line.refers_to:
                assert ref.first is None or ref.first in known, (line.code, ref)


ENGLISH = sorted(name for name, record in demo_records().items() if record.child.language == "en")


@pytest.mark.parametrize("name", ENGLISH)
def test_the_familys_letter_reads_at_grade_five_or_lower(name: str) -> None:
    """Flesch-Kincaid (Kincaid et al. 1975) over the sentences as they go home."""
    report = draft_report(example(name), "family-letter", TODAY)
    assert flesch_kincaid_grade(counts_of(words_of(report))) <= 5.0


def test_the_letter_in_spanish_is_easy_to_read() -> None:
    """INFLESZ over the words of ours, without names that people typed: 65 and more is easy."""
    told = [t["es"][0] for code, t in book("reports")["fact"].items() if code.startswith("letter_")]
    plain = [re.sub(r"\{\w+:(\w+)\|\w+\}", r"3 \1", text) for text in told]
    plain = [re.sub(r"\{(now|then|steps|n|minutes)\}", "3", text) for text in plain]
    assert inflesz(counts_of([re.sub(r"\{.*?\}", "Teo", text) for text in plain], "es")) >= 65


def test_every_sentence_of_the_letter_is_there_in_both_languages() -> None:
    facts = {code: told for code, told in book("reports")["fact"].items() if code.startswith("letter_")}
    assert facts
    assert all({"en", "es"} <= set(told) for told in facts.values())


def test_a_letter_in_spanish_has_no_english_sentence() -> None:
    record = replace(example("Pip"), child=replace(example("Pip").child, language="es"))
    report = draft_report(record, "family-letter", TODAY)
    assert report.title == "Cómo va en casa"
    assert not [words for words in words_of(report) if " you " in f" {words} "]


def in_spanish(translations: dict[str, object]) -> list[str]:
    record = example("Pip")
    skill = record.skills[0]
    said = replace(skill.versions[-1], translations=json.dumps(translations) if translations else "")
    record = replace(record, child=replace(record.child, language="es", stop_signs=("se va",)))
    record = replace(record, skills=(replace(skill, versions=(*skill.versions[:-1], said)),))
    return words_of(draft_report(record, "family-letter", TODAY))


def test_a_letter_leaves_out_what_the_record_says_in_english_only() -> None:
    skill = example("Pip").skills[0]
    told = " ".join(in_spanish({}))
    for name in (skill.name, *(step.name for step in skill.newest.steps.steps)):
        assert name.casefold() not in told.casefold()
    assert "Trabajaron en esto" in told
    assert "se va" in told


def test_a_letter_names_skill_and_steps_in_the_familys_words() -> None:
    skill = example("Pip").skills[0]
    steps = {step.id: {"es": {"name": f"Paso de {n}"}} for n, step in enumerate(skill.newest.steps.steps)}
    told = " ".join(in_spanish({"whole": {"es": {"name": "Servir agua"}}, "steps": steps}))
    assert "servir agua" in told
    asked = [n for n, step in enumerate(skill.newest.steps.steps) if f"paso de {n}" in told]
    assert asked or "cada paso sin ayuda" in told


def test_spanish_says_u_before_the_sound_of_o() -> None:
    """Real Academia Española, Diccionario panhispánico de dudas, «o»: u before o- or ho-, also in figures."""
    fact = RecordFact("letter_more", {"now": 9, "steps": 12, "then": 7.5, "then_told": ("7", "8")})
    assert "hacía 7 u 8 de 12" in lines([fact], "es", "Pip")[0].text
    fact = replace(fact, values={**fact.values, "then_told": ("1", "2")})
    assert "hacía 1 o 2 de 12" in lines([fact], "es", "Pip")[0].text
    assert "did 1 or 2 of 12" in lines([fact], "en", "Pip")[0].text


def test_a_letter_in_a_language_without_words_is_drawn_up_in_english() -> None:
    record = replace(example("Pip"), child=replace(example("Pip").child, language="ar"))
    report = draft_report(record, "family-letter", TODAY)
    assert (report.language, words_of(report)) == (
        "en",
        words_of(draft_report(example("Pip"), "family-letter", TODAY)),
    )


def test_the_note_tells_minutes_and_units_and_the_plan_as_information() -> None:
    codes = {
        line.code for s in draft_report(example("Wren"), "progress-note", TODAY).sections for line in s.lines
    }
    assert {"timed_units", "plan_now", "goal"} <= codes
    assert codes & {"visit_one", "visits"}


def test_six_months_review_holds_graph_levels_and_the_limits_of_its_design() -> None:
    report = draft_report(six_months(), "ifsp-review", TODAY)
    assert [len(s.figures) for s in report.sections if s.code == "progress"] == [1]
    assert {"Attainment levels", "Probes without help"} <= {g.title for s in report.sections for g in s.grids}
    assert "design_ab" in {line.code for s in report.sections for line in s.lines}


def test_what_adults_do_apart_is_quoted_item_by_item() -> None:
    checks = tuple(
        KeptFidelity(TODAY - timedelta(days=2), adult, 1, (("cue-words", seen), ("wait", seen)))
        for adult, seen in (("Mum", "done"), ("Dad", "not"))
    )
    record = example("Wren")
    record = replace(record, skills=(replace(record.skills[0], coaching=checks),))
    told = " ".join(words_of(draft_report(record, "progress-note", TODAY)))
    assert "one adult did and another did not: “" in told
    assert "” and “" in told
    assert ".." not in told


def test_open_red_flags_come_first_in_a_handover() -> None:
    report = draft_report(example("Ada"), "handover", TODAY)
    assert report.sections[0].lines[0].code == "red_flag_open"


def test_two_skills_have_sections_of_their_own_and_one_judgement() -> None:
    record = example("Wren")
    second = replace(example("Juno").skills[0], id="2")
    report = draft_report(replace(record, skills=(*record.skills, second)), "progress-note", TODAY)
    assert len({s.code for s in report.sections}) == len(report.sections)
    assert [s.code for s in report.sections if s.ask] == ["subjective", "assessment", "plan"]
    assert sum("visit" in line.code for s in report.sections for line in s.lines) == len(
        [
            line
            for line in draft_report(record, "progress-note", TODAY).sections[1].lines
            if "visit" in line.code
        ]
    )


def test_parked_skills_are_left_out_unless_named() -> None:
    record = example("Wren")
    parked = replace(example("Juno").skills[0], id="2", state="parked")
    both = replace(record, skills=(*record.skills, parked))
    assert draft_report(both, "iep-progress", TODAY) == draft_report(record, "iep-progress", TODAY)
    named = draft_report(both, "iep-progress", TODAY, skills=["2"])
    assert "sun hat" in " ".join(words_of(named))


@pytest.mark.parametrize(
    ("kind", "period", "code"),
    [
        ("poem", None, "report_kind"),
        ("handover", Period(TODAY, TODAY - timedelta(days=1)), "report_period"),
        ("handover", Period(TODAY, TODAY + timedelta(days=1)), "report_period"),
    ],
)
def test_what_cannot_be_reported_is_refused_by_name(kind: str, period: Period | None, code: str) -> None:
    with pytest.raises(BadValue) as told:
        draft_report(example("Wren"), kind, TODAY, period=period)
    assert told.value.code == code


def test_a_child_without_skills_and_one_without_any_data() -> None:
    with pytest.raises(BadValue) as told:
        draft_report(replace(example("Wren"), skills=()), "handover", TODAY)
    assert told.value.code == "report_without_skill"
    bare = replace(
        example("Wren").skills[0], plans=(), goal=None, practice=(), reviews=(), checks=(), state="active"
    )
    empty = replace(example("Wren"), skills=(bare,), visits=(), adults=())
    for kind in KINDS:
        assert words_of(draft_report(empty, kind, TODAY))


def test_signing_asks_for_every_judgement_and_then_nothing_changes_any_more() -> None:
    draft = draft_report(example("Wren"), "progress-note", TODAY)
    with pytest.raises(ManyFaults) as told:
        signed(draft, "Ines Falk", TODAY)
    assert [fault.code for fault in told.value.faults] == ["report_not_written"] * 3
    done = signed(written(draft), "Ines Falk", TODAY)
    assert done.signed
    for change in (
        lambda: with_words(done, "plan", "more"),
        lambda: with_line(done, "objective", 0, "x"),
        lambda: signed(done, "Marit Lund", TODAY),
    ):
        with pytest.raises(Fault) as refused:
            change()
        assert refused.value.code == "report_is_signed"


@pytest.mark.parametrize(("by", "on"), [(" ", TODAY), ("Ines Falk", TODAY - timedelta(days=1))])
def test_half_a_signature_or_one_before_the_draft_is_refused(by: str, on: date) -> None:
    with pytest.raises(BadValue):
        signed(written(draft_report(example("Wren"), "iep-progress", TODAY)), by, on)


def test_an_edited_sentence_says_so_and_keeps_its_reference() -> None:
    draft = draft_report(example("Wren"), "progress-note", TODAY)
    old = draft.sections[1].lines[0]
    changed = with_line(draft, "objective", 0, "Practised most days.").sections[1].lines[0]
    assert (changed.text, changed.edited, changed.refers_to) == ("Practised most days.", True, old.refers_to)
    assert not with_line(draft, "objective", 0, old.text).sections[1].lines[0].edited
    assert len(with_line(draft, "objective", 0, "").sections[1].lines) == len(draft.sections[1].lines) - 1


def test_facts_hold_no_room_for_opinion() -> None:
    with pytest.raises(BadValue) as told:
        with_words(draft_report(example("Wren"), "progress-note", TODAY), "objective", "I think")
    assert told.value.code == "report_section_facts"


@pytest.mark.parametrize("kind", KINDS)
def test_a_signed_report_is_kept_as_it_was(kind: str) -> None:
    report = signed(written(draft_report(full(), kind, TODAY)), "Ines Falk", TODAY)
    assert read_report(write_report(report)) == report


@settings(max_examples=20, deadline=None)
@given(st.text(max_size=80))
def test_any_words_of_a_therapist_are_kept(told: str) -> None:
    report = with_words(draft_report(example("Wren"), "iep-progress", TODAY), "judgement", told)
    assert read_report(write_report(report)) == report


def test_another_file_is_no_report() -> None:
    with pytest.raises(BadValue):
        read_report(dumped({"format": "else", "report": to_data(draft_report(full(), "handover", TODAY))}))


def test_every_section_and_question_has_words() -> None:
    sections, asks = set(book("reports")["section"]), set(book("reports")["ask"])
    used = {part.code for parts in PARTS.values() for part in parts}
    assert used <= sections
    assert {part.code for parts in PARTS.values() for part in parts if part.asks} <= asks
    assert {where.value for where in Where} == set(book("reports")["reference"])
