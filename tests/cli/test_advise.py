"""`bylittle advise`: its JSON as agreed with outside callers, its page, its faults, and what it loads."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from bylittle.cli import main
from bylittle.core.advice import Decision

HEAD = "# skill: Pull on a rain boot\n# steps: Open the boot | Point the toes | Pull up\n"
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"
START = date(2026, 3, 2)


def rows(days: int, result: str = "managed", offered: str = "words", start: date = START) -> str:
    return "".join(
        f"{start + timedelta(days=day)},{turn},Pull up,{offered},{result},M,hall,,home,\n"
        for day in range(days)
        for turn in (1, 2, 3)
    )


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + HEADER + rows(6), "utf-8")
    return path


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    steps = [
        {"name": name, "cue": name, "asked": False} for name in ("Open the boot", "Point the toes", "Pull up")
    ]
    steps[2] |= {"asked": True, "help": "words"}
    told = {
        "plan": "7F3A9C",
        "version": 3,
        "skill": "Pull on a rain boot",
        "child": "Wren",
        "steps": steps,
        "levels": ["hand over hand", "light touch", "showing", "pointing", "words", "alone"],
        "days": 7,
        "turns_per_day": 4,
        "language": "en",
        "adults": ["M"],
        "chaining": "backward",
    }
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(told), "utf-8")
    return path


def said(capsys: pytest.CaptureFixture[str], *argv: object) -> tuple[int, dict]:
    code = main([str(word) for word in argv])
    return code, json.loads(capsys.readouterr().out)


def test_the_json_has_the_agreed_form(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, told = said(capsys, "advise", "--log", log, "--json")
    assert code == 0
    assert set(told) == {"steps", "decision", "why", "next"}
    assert [step["step"] for step in told["steps"]] == [1, 2, 3]
    assert told["steps"][2]["name"] == "Pull up"
    assert set(told["steps"][0]) == {"step", "name", "levels", "mastered"}
    for level in told["steps"][2]["levels"]:
        assert set(level) == {"level", "chance", "low", "high"}
        assert 0 <= level["low"] <= level["chance"] <= level["high"] <= 1
    assert [level["level"] for level in told["steps"][0]["levels"]][-1] == "alone"
    assert isinstance(told["steps"][0]["mastered"], bool)
    assert told["decision"] in {word.value for word in Decision}
    assert "Pull up" in told["why"]
    for asked in told["next"]["asked"]:
        assert set(asked) == {"step", "help"}


def test_the_plan_gives_steps_levels_and_direction(
    tmp_path: Path, plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bare = tmp_path / "bare.csv"
    bare.write_text(HEADER + rows(6), "utf-8")
    code, told = said(capsys, "advise", "--log", bare, "--plan", plan, "--json")
    assert code == 0
    assert [asked["step"] for asked in told["next"]["asked"]] == [3]


def test_a_plan_for_the_coming_week_does_not_hide_the_practice_before(
    log: Path, plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = json.loads(plan.read_text("utf-8")) | {"start": (START + timedelta(days=6)).isoformat()}
    plan.write_text(json.dumps(told), "utf-8")
    _, advised = said(capsys, "advise", "--log", log, "--plan", plan, "--json")
    assert advised["decision"] != "more data"
    plan.write_text(json.dumps(told | {"start": (START + timedelta(days=5)).isoformat()}), "utf-8")
    _, advised = said(capsys, "advise", "--log", log, "--plan", plan, "--json")
    assert advised["decision"] == "more data"


def test_on_asks_for_a_later_day(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, told = said(capsys, "advise", "--log", log, "--on", START + timedelta(days=40), "--json")
    assert told["decision"] == "more data"
    assert "35" in told["why"]


def test_the_page_tells_chances_decision_reason_and_what_to_ask(
    log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["advise", "--log", str(log), "--chaining", "backward"]) == 0
    page = capsys.readouterr().out
    assert "Pull on a rain boot: advice for 8" in page
    assert "90 % interval" in page
    assert "Advice: " in page
    assert "Why: “Pull up” with words" in page
    assert "Ask next, from alone, adding help until it works\n  3. Pull up, alone" in page
    assert "licensed therapist decides" in page


def test_when_the_whole_skill_may_be_done_is_a_range_or_silence_with_its_reason(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, told = said(capsys, "advise", "--log", log, "--json")
    whole = told["next"]["whole_skill"]
    assert (whole["early"], whole["middle"], whole["late"]) == (None, None, None)
    assert "6 practice days, 8 are needed" in whole["why"]
    steady = tmp_path / "steady.csv"
    all_steps = "".join(
        f"{START + timedelta(days=day)},{turn},{step},alone,managed,M,hall,,home,\n"
        for day in range(10)
        for turn in (1, 2)
        for step in ("Open the boot", "Point the toes", "Pull up")
    )
    steady.write_text(HEAD + HEADER + all_steps, "utf-8")
    _, told = said(capsys, "advise", "--log", steady, "--json")
    whole = told["next"]["whole_skill"]
    assert date.fromisoformat(whole["early"]) <= date.fromisoformat(whole["middle"])
    assert main(["advise", "--log", str(steady)]) == 0
    page = capsys.readouterr().out
    assert "All steps alone, each in 85" in page
    assert "cannot be compared yet" in page


def test_the_json_says_what_would_change_the_advice(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, told = said(capsys, "advise", "--log", log, "--json")
    assert told["next"]["would_change"]
    assert all(each.endswith(".") for each in told["next"]["would_change"])


def test_numbered_steps_without_names_are_counted_and_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEADER + rows(6).replace("Pull up", "3"), "utf-8")
    assert main(["advise", "--log", str(path)]) == 0
    assert "3\u00a0steps were counted" in capsys.readouterr().out


def test_every_fault_of_the_log_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + HEADER + rows(1).replace("words", "nudge", 1).replace(",3,", ",0,", 1), "utf-8")
    code, told = said(capsys, "advise", "--log", path, "--json")
    assert code == 2
    assert set(told) == {"fault", "mend"}
    assert told["fault"].splitlines()[0].startswith("Line 4, offered: ")
    assert told["fault"].splitlines()[1].startswith("Line 6, turn: ")
    assert "light touch" in told["mend"]


@pytest.mark.parametrize(
    ("argv", "word"),
    [
        (["--log", "missing.csv"], "missing.csv"),
        (["--log", "LOG", "--on", "2.3.2026"], "2.3.2026"),
        (["--log", "LOG", "--on", "2026-03-01"], "last entry"),
        (["--log", "LOG", "--plan", "LOG"], "JSON"),
        ([], "--log"),
    ],
)
def test_what_keeps_it_from_running_is_told_with_its_mend(
    argv: list[str], word: str, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    given = [str(log) if one == "LOG" else one for one in argv]
    code, told = said(capsys, "advise", *given, "--json")
    assert code == 2
    assert set(told) == {"fault", "mend"}
    assert word in told["fault"]
    assert told["mend"]


def test_a_day_in_the_future_is_a_fault_unless_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ahead = date.today() + timedelta(days=30)
    path = tmp_path / "log.csv"
    path.write_text(HEAD + HEADER + rows(1, start=ahead), "utf-8")
    code, told = said(capsys, "advise", "--log", path, "--json")
    assert code == 2
    assert "future" in told["fault"]
    code, told = said(capsys, "advise", "--log", path, "--on", ahead + timedelta(days=1), "--json")
    assert (code, told["decision"]) == (0, "more data")


def test_a_log_without_rows_asks_for_more_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + HEADER, "utf-8")
    code, told = said(capsys, "advise", "--log", path, "--json")
    assert (code, told["decision"]) == (0, "more data")


LOADED = """
import sys
from bylittle.cli import main
code = main(sys.argv[1:])
third = {name.partition(".")[0] for name in sys.modules} - set(sys.stdlib_module_names)
print(code, *sorted(name for name in third if not name.startswith("_")), file=sys.stderr)
"""


def loaded_by(*argv: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-I", "-c", LOADED, *argv], capture_output=True, text=True, check=True
    )
    code, *names = done.stderr.splitlines()[-1].split()
    assert code == "0"
    return set(names) - {"bylittle", "sitecustomize", "cython_runtime"}


def test_advise_loads_nothing_but_numpy_and_scipy(log: Path) -> None:
    assert loaded_by("advise", "--log", str(log), "--json") == {"numpy", "scipy"}


@pytest.mark.parametrize("verb", ["advise", "children", "import", "demo", "serve", "sheet"])
def test_help_loads_nothing_and_shows_an_example(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([verb, "--help"]) == 0
    if verb != "sheet":
        assert f"  bylittle {verb}" in capsys.readouterr().out
    assert loaded_by(verb, "--help") == set()


def test_leaping_ahead_is_asked_for_in_the_plan_or_by_hand(
    log: Path, plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One day of probes shows the middle step alone: leaping passes over it, without it is the next one."""
    probed = "".join(
        f"{START + timedelta(days=6)},{turn},{step},,{result},Ines,clinic,,probe,\n"
        for turn in range(1, 7)
        for step, result in (("Open the boot", "needed showing"), ("Point the toes", "needed alone"))
    )
    alone = rows(6, "needed alone", "")
    log.write_text(HEAD + HEADER + alone + probed, "utf-8")
    code, plain = said(capsys, "advise", "--json", "--log", log, "--plan", plan)
    told = json.loads(plan.read_text("utf-8")) | {"leap_ahead": True}
    by_hand = said(capsys, "advise", "--json", "--log", log, "--plan", plan, "--leap-ahead")[1]
    plan.write_text(json.dumps(told), "utf-8")
    by_plan = said(capsys, "advise", "--json", "--log", log, "--plan", plan)[1]
    assert code == 0
    assert by_plan == by_hand != plain
    assert "Leaping ahead: “Point the toes” likely go" in by_plan["why"]
    assert "Leaping" not in plain["why"]
    assert [step["step"] for step in by_plan["next"]["asked"]] == [1, 2, 3]


def test_leaping_ahead_of_a_whole_task_cannot_run(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, told = said(capsys, "advise", "--json", "--log", log, "--leap-ahead")
    assert code == 2
    assert told["fault"].endswith("taught step by step; this one is taught as “whole”.")
    assert "backward" in told["mend"]
