"""A practice log in, core entries out, and every fault told at its line and column with its mend.

The results and intervals themselves are checked against the golden table in tests/core/practice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion, Step
from bylittle.files.csv_head import Against, version_of
from bylittle.files.line_fault import FaultyFile, LineFault
from bylittle.files.practice_csv import LogFile, read_log, write_log
from bylittle.library.wording import csv_faults

HEAD = "# skill: Pull on a rain boot\n# steps: Open the boot | Point the toes | Pull up\n"
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"
ROW = "2026-03-02,1,Pull up,words,managed,M,hall,,home,\n"
TODAY = date(2026, 3, 20)


def read(text: str, **against: object) -> LogFile:
    return read_log(text.encode(), Against(latest=TODAY, **against))  # type: ignore[arg-type]


def faults_of(text: str | bytes, **against: object) -> list[LineFault]:
    data = text.encode() if isinstance(text, str) else text
    with pytest.raises(FaultyFile) as caught:
        read_log(data, Against(latest=TODAY, **against))  # type: ignore[arg-type]
    for fault in caught.value.line_faults:  # every fault has words; a code without them raises
        csv_faults.told(fault.code, fault.values, column=fault.column)
    return list(caught.value.line_faults)


def told(text: str | bytes, **against: object) -> list[tuple[int, str, str]]:
    return [(fault.line, fault.column, fault.code) for fault in faults_of(text, **against)]


def row(**cells: str) -> str:
    names = [*HEADER.strip().split(","), "order_of_help", "probe"]
    plain = dict(zip(HEADER.strip().split(","), ROW.strip().split(","), strict=True))
    full = {**dict.fromkeys(names, ""), **plain, **cells}
    return ",".join(full[name] for name in names) + "\n"


FULL_HEADER = HEADER.strip() + ",order_of_help,probe\n"


def fault_in(**cells: str) -> list[tuple[int, str, str]]:
    return told(HEAD + FULL_HEADER + row(**cells))


def test_a_row_becomes_an_entry_that_knows_its_line() -> None:
    file = read(HEAD + HEADER + ROW)
    assert file.skill_name == "Pull on a rain boot"
    assert file.step_names == ("Open the boot", "Point the toes", "Pull up")
    assert file.levels == DEFAULT_LADDER.names
    (only,) = file.rows
    assert only.line == 4
    assert only.entry == Entry(date(2026, 3, 2), 1, "3", Outcome.MANAGED, adult="M", place="hall", offered=4)


@pytest.mark.parametrize(
    "data",
    [
        (HEAD + HEADER + ROW).encode("utf-8-sig"),
        (HEAD + HEADER + ROW).replace("\n", "\r\n").encode(),
        (HEAD + HEADER + ROW).replace(",", ";").encode(),
        ("sep=;\n" + (HEAD + HEADER + ROW).replace(",", ";")).encode(),
        (HEAD.replace("\n", ",,,,,,,,,\n") + HEADER + "\n" + ROW + ",,,,,,,,,\n").encode(),
        (HEAD + HEADER.upper().replace(",", " , ") + ROW.replace("Pull up", " pull  UP ")).encode(),
        (
            HEAD + '"date","turn","step","offered","result","adult","place","grade","source","note"\n' + ROW
        ).encode(),
        (
            HEAD + HEADER.replace(",note", "").replace("date", "note,date") + "," + ROW.rstrip(",\n") + "\n"
        ).encode(),
    ],
    ids=["mark", "crlf", "semicolon", "sep", "padded", "case", "quoted", "other-order"],
)
def test_the_forms_that_spreadsheets_give_read_the_same(data: bytes) -> None:
    assert read_log(data).entries == read(HEAD + HEADER + ROW).entries


@pytest.mark.parametrize(
    ("cells", "column", "code"),
    [
        ({"date": "2026-03-21"}, "date", "date_future"),
        ({"date": "2026-02-30"}, "date", "date_impossible"),
        ({"date": ""}, "date", "date_empty"),
        ({"date": "02/03/2026"}, "date", "date_form"),
        ({"date": "20260302"}, "date", "date_form"),
        ({"turn": "0"}, "turn", "turn_number"),
        ({"turn": "1.5"}, "turn", "turn_number"),
        ({"turn": ""}, "turn", "turn_number"),
        ({"step": "4"}, "step", "step_not_in_version"),
        ({"step": "Push down"}, "step", "step_not_in_version"),
        ({"step": ""}, "step", "step_empty"),
        ({"offered": "a nudge"}, "offered", "level_not_on_ladder"),
        ({"offered": ""}, "offered", "offer_missing"),
        ({"offered": "", "result": "not managed"}, "offered", "offer_missing"),
        ({"offered": "hand over hand", "result": "not managed"}, "result", "fullest_help_not_enough"),
        ({"result": "needed a nudge"}, "result", "level_not_on_ladder"),
        ({"result": "needed"}, "result", "needed_level_missing"),
        ({"result": "failed"}, "result", "result_unknown"),
        ({"result": ""}, "result", "result_unknown"),
        ({"source": ""}, "source", "word_unknown"),
        ({"source": "school"}, "source", "word_unknown"),
        ({"source": "probe"}, "offered", "probe_with_help"),
        ({"order_of_help": "most"}, "order_of_help", "word_unknown"),
        ({"source": "probe", "offered": "", "probe": "double"}, "probe", "word_unknown"),
        ({"probe": "single"}, "probe", "probe_kind_elsewhere"),
        ({"adult": "M" * 41}, "adult", "text_too_long"),
        ({"note": "M" * 401}, "note", "text_too_long"),
    ],
)
def test_a_fault_stands_at_its_line_and_column(cells: dict[str, str], column: str, code: str) -> None:
    assert fault_in(**cells) == [(4, column, code)]


def test_all_faults_of_a_file_are_told_at_once() -> None:
    bad = row(date="3/4/2026", turn="0", step="9", offered="", source="home")
    assert told(HEAD + FULL_HEADER + bad + row() + row(turn="2", result="perhaps")) == [
        (4, "date", "date_form"),
        (4, "turn", "turn_number"),
        (4, "step", "step_not_in_version"),
        (4, "offered", "offer_missing"),
        (6, "result", "result_unknown"),
    ]


@pytest.mark.parametrize(
    ("cell", "could_be"),
    [
        ("3/4/2026", ("2026-04-03", "2026-03-04")),
        ("13.4.2026", ("2026-04-13",)),
        ("2026/3/4", ("2026-03-04",)),
        ("2026-03-04 08:30", ("2026-03-04",)),
        ("46085", ("2026-03-04",)),
        ("Tuesday", ()),
    ],
)
def test_another_form_of_date_is_never_guessed_but_named(cell: str, could_be: tuple[str, ...]) -> None:
    (fault,) = faults_of(HEAD + FULL_HEADER + row(date=cell))
    assert fault.values["could_be"] == could_be
    words = csv_faults.told(fault.code, fault.values, column=fault.column)
    assert "YYYY-MM-DD" in words.mend
    assert all(day in words.mend for day in could_be)


def test_unknown_missing_and_repeated_columns() -> None:
    header = HEADER.replace("grade", "mood").replace("note", "date")
    assert told(HEAD + header + ROW) == [
        (3, "mood", "column_unknown"),
        (3, "date", "column_repeated"),
        (3, "grade", "column_missing"),
        (3, "note", "column_missing"),
    ]


def test_a_comma_in_a_note_without_quotes_is_not_misread() -> None:
    assert told(HEAD + HEADER + ROW.strip() + "wet, cold\n") == [(4, "", "cell_count")]


def test_empty_last_cells_may_be_left_out() -> None:
    assert read(HEAD + FULL_HEADER + ROW.rstrip(",\n") + "\n").entries == read(HEAD + HEADER + ROW).entries


def test_a_quotation_mark_never_closed_hides_no_other_fault() -> None:
    text = HEAD + HEADER + ROW.strip() + '"cold\n' + ROW.replace(",1,", ",0,")
    assert told(text) == [(4, "", "quotes_unclear"), (5, "turn", "turn_number")]


def test_rows_after_a_note_of_several_lines_keep_their_line() -> None:
    text = HEAD + HEADER + ROW.strip() + '"cold\nand wet"\n' + ROW.replace(",1,", ",0,")
    assert told(text) == [(6, "turn", "turn_number")]


def test_the_same_row_twice_is_one_row() -> None:
    assert len(read(HEAD + HEADER + ROW + ROW).rows) == 1


def test_the_same_row_with_other_content_shows_both() -> None:
    (fault,) = faults_of(HEAD + HEADER + ROW + ROW.replace("managed", "not managed"))
    assert (fault.line, fault.column, fault.code) == (5, "result", "same_row_other_content")
    words = csv_faults.told(fault.code, fault.values, column=fault.column)
    assert "line 4" in words.fault
    assert ", managed," in words.fault
    assert "not managed" in words.fault


def test_windows_western_bytes_are_told_with_line_column_and_way_out() -> None:
    data = (HEAD + HEADER + ROW + ROW.replace(",1,", ",2,").replace("M", "Zoë")).encode("cp1252")
    (fault,) = faults_of(data)
    assert (fault.line, fault.column, fault.code) == (5, "adult", "encoding_not_utf8")
    words = csv_faults.told(fault.code, fault.values, column=fault.column)
    assert "Zoë" in words.fault
    assert "UTF-8" in words.mend


def test_a_head_that_is_not_utf8_is_told_once_and_the_rows_are_still_read() -> None:
    data = (HEAD.replace("Pull up", "Éteindre") + HEADER + ROW.replace("Pull up", "Éteindre")).encode(
        "cp1252"
    )
    assert told(data) == [(2, "", "encoding_not_utf8"), (4, "step", "encoding_not_utf8")]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_utf_16_is_told_with_the_way_out(encoding: str) -> None:
    (fault,) = faults_of((HEAD + HEADER + ROW).encode(encoding))
    assert (fault.line, fault.code) == (1, "encoding_utf16")


@pytest.mark.parametrize(
    ("data", "line", "code"),
    [
        (b"", 1, "file_empty"),
        (b"\n# skill: x\n", 2, "file_empty"),
        (b"PK\x03\x04\x14\x00\x06", 1, "not_text"),
        (ROW.encode(), 1, "header_missing"),
        (HEADER.replace(",", "\t").encode(), 1, "delimiter_unknown"),
    ],
)
def test_what_is_no_practice_log_is_told_so(data: bytes, line: int, code: str) -> None:
    assert told(data) == [(line, "", code)]


def test_numbered_steps_are_counted_where_nobody_names_them() -> None:
    file = read(HEADER + ROW.replace("Pull up", "4"))
    assert not file.named
    assert len(file.version.steps) == 4


def test_named_steps_without_their_order_are_refused() -> None:
    assert told(HEADER + ROW) == [(2, "step", "steps_unknown")]


PLAN = SkillVersion(
    2, "Pull on a rain boot", (Step("open", "Open the boot", "Open"), Step("pull", "Pull up", "Pull"))
)


def test_against_a_plan_the_plans_step_ids_are_used() -> None:
    file = read(HEADER + ROW, version=PLAN)
    assert file.entries[0].step_id == "pull"


def test_a_step_that_is_not_in_that_version() -> None:
    (fault,) = faults_of(HEADER + ROW.replace("Pull up", "Point the toes"), version=PLAN)
    assert (fault.line, fault.column, fault.code) == (2, "step", "step_not_in_version")


def test_a_file_about_another_skill_steps_or_ladder_is_refused() -> None:
    head = "# skill: Wash hands\n# steps: Pull up | Open the boot\n# levels: words | light touch | alone\n"
    against = {"version": PLAN, "ladder": Ladder(("light touch", "words", "alone"))}
    assert [code for _, _, code in told(head + HEADER + ROW, **against)] == [
        "skill_differs",
        "steps_differ",
        "levels_differ",
    ]


def test_a_ladder_told_upside_down_is_refused() -> None:
    assert told("# levels: alone | words\n" + HEADER) == [(1, "", "levels_order")]


def test_a_head_line_below_the_header_is_not_passed_over() -> None:
    assert told(HEADER + "# levels: words | alone\n") == [(2, "", "comment_late")]


@pytest.mark.parametrize("source", ["probe", "baseline"])
def test_a_probe_without_an_offer_means_alone(source: str) -> None:
    entry = read(HEAD + FULL_HEADER + row(source=source, offered="", probe="multiple")).entries[0]
    assert entry.offered == DEFAULT_LADDER.top
    assert entry.reach(DEFAULT_LADDER.top).lo == DEFAULT_LADDER.top
    assert entry.probe is ProbeKind.MULTIPLE


def test_a_formula_in_a_note_is_written_as_text() -> None:
    entry = Entry(TODAY, 1, "1", Outcome.STOPPED, note="=1+1")
    text = write_log([entry], version_of("Skill", ("Open",)), DEFAULT_LADDER)
    assert ",'=1+1," in text
    assert read_log(text.encode()).entries == (entry,)


@pytest.mark.parametrize("note", ["a\rb", "a\nb", "a\r\nb", 'a "b", c; d', "# steps: a | b"])
def test_a_note_of_any_form_comes_back(note: str) -> None:
    entry = Entry(TODAY, 1, "1", Outcome.STOPPED, note=note)
    text = write_log([entry], version_of("Skill", ("Open",)), DEFAULT_LADDER)
    assert read_log(text.encode()).entries == (entry,)


def test_every_fault_has_words() -> None:
    """Those that the other tests meet are told in `faults_of`; here the whole book."""
    values = {"value": "x", "allowed": ("a", "b"), "n": 1, "needed": 2, "step": 1}
    values |= {"there": "a", "new": "b", "there_line": 3}
    for code in csv_faults.codes():
        words = csv_faults.told(code, values, column="date")
        assert words.fault.endswith((".", "?"))
        assert words.mend.endswith(".")


names = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1, max_size=12)
trimmed = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12).map(str.strip)
ladders = st.sampled_from([DEFAULT_LADDER, Ladder(("light touch", "words", "alone"))])


@st.composite
def logs(draw: st.DrawFn) -> tuple[SkillVersion, Ladder, tuple[Entry, ...]]:
    steps = draw(st.lists(names.map(str.strip).filter(bool), min_size=1, max_size=4))
    version = SkillVersion(1, "A skill", tuple(Step(f"s{n}", name, "") for n, name in enumerate(steps)))
    ladder = draw(ladders)
    level = st.integers(1, ladder.top)
    home = st.builds(
        Entry,
        day=st.integers(0, 9).map(lambda days: date(2026, 3, 1) + timedelta(days=days)),
        turn=st.integers(1, 3),
        step_id=st.sampled_from([step.id for step in version.steps]),
        outcome=st.sampled_from([Outcome.MANAGED, Outcome.NOT_MANAGED, Outcome.STOPPED, Outcome.BY_ADULT]),
        source=st.sampled_from([Source.HOME, Source.VISIT, Source.PAPER]),
        adult=trimmed,
        offered=level,
        order=st.sampled_from(OrderOfHelp),
        place=trimmed,
        grade=trimmed,
        note=trimmed,
    )
    probe = st.builds(
        Entry,
        day=st.just(date(2026, 3, 1)),
        turn=st.integers(1, 3),
        step_id=st.sampled_from([step.id for step in version.steps]),
        outcome=st.just(Outcome.NEEDED),
        source=st.sampled_from([Source.PROBE, Source.BASELINE]),
        needed=level,
        order=st.just(OrderOfHelp.LEAST_TO_MOST),
        probe=st.sampled_from(ProbeKind),
    )
    rows = draw(st.lists(home | probe, max_size=6, unique_by=lambda entry: entry.identity))
    return version, ladder, tuple(rows)


@settings(max_examples=60, deadline=None)
@given(logs(), st.sampled_from(["utf-8", "utf-8-sig"]))
def test_what_is_written_reads_back_the_same(
    log: tuple[SkillVersion, Ladder, tuple[Entry, ...]], encoding: str
) -> None:
    version, ladder, entries = log
    data = write_log(entries, version, ladder).encode(encoding)
    file = read_log(data, Against(version=version, ladder=ladder))
    assert file.entries == entries
    assert PracticeLog.of(file.entries) == PracticeLog.of(entries)
