"""What `bylittle advise` makes of a wrong or strange log: a right answer, or a refusal with its mend."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from bylittle.cli import main

HEAD = "# skill: Pull on a rain boot\n# steps: Open the boot | Point the toes | Pull up\n"
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"
START = date(2023, 3, 2)


def row(day: int, turn: int = 1, result: str = "managed", offered: str = "words", adult: str = "M") -> str:
    return f"{START + timedelta(days=day)},{turn},Pull up,{offered},{result},{adult},hall,,home,\n"


@pytest.fixture
def said(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    def advise(*rows: str, head: str = HEAD) -> tuple[int, dict]:
        path = tmp_path / "log.csv"
        path.write_text(head + HEADER + "".join(rows), "utf-8")
        code = main(["advise", "--log", str(path), "--json"])
        return code, json.loads(capsys.readouterr().out)

    return advise


def steady(days: int = 8) -> list[str]:
    return [row(day, turn) for day in range(days) for turn in (1, 2, 3)]


def alone(told: dict) -> dict:
    return told["steps"][2]["levels"][-1]


def test_marks_that_contradict_each_other_are_shown_with_both(said) -> None:
    code, told = said(*steady(), row(7, 3, "not managed"))
    assert code == 2
    assert "line 27" in told["fault"]
    assert "not managed" in told["fault"]
    assert "Keep the row that is right" in told["mend"]


def test_a_row_twice_is_one_row(said) -> None:
    assert said(*steady(), row(7, 3)) == said(*steady())


def test_two_adults_who_mark_one_turn_apart_are_both_heard(said) -> None:
    code, told = said(*steady(), row(7, 1, "not managed", adult="D"))
    assert code == 0
    assert alone(told)["chance"] < alone(said(*steady())[1])["chance"]


def test_the_order_of_rows_in_the_file_does_not_matter(said) -> None:
    rows = [
        row(day, turn, "managed" if (day + turn) % 3 else "not managed")
        for day in range(9)
        for turn in (1, 2)
    ]
    assert said(*rows) == said(*reversed(rows)) == said(*rows[::2], *rows[1::2])


@pytest.mark.parametrize(
    ("wrong", "fault"),
    [
        (row(0, offered="nudge"), "nudge is not on the plan's ladder"),
        (row(0, offered="", result="needed nudge"), "nudge is not on the plan's ladder"),
        (row(0, offered=""), "cannot be read without the help that was offered"),
        (row(0, offered="hand over hand", result="not managed"), "nothing more could be given"),
        (row(0).replace("2023-03-02", "2023-02-30"), "no day 2023-02-30"),
        (row(0, turn=0), "not a whole number from 1"),
        (row(0).replace("Pull up", "Fly"), "no step Fly"),
        (row(40_000), "in the future"),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_with_its_line_and_mend(said, wrong: str, fault: str) -> None:
    code, told = said(*steady(1), wrong)
    assert code == 2
    assert fault in told["fault"]
    assert told["fault"].startswith("Line 7, ")
    assert told["mend"]


@pytest.mark.parametrize("names", [("help", "alone"), ("a", "b", "c", "d", "e", "f", "g", "alone")])
def test_a_ladder_of_two_or_of_eight_levels_is_advised_on(said, names: tuple[str, ...]) -> None:
    head = f"{HEAD}# levels: {' | '.join(names)}\n"
    code, told = said(*(row(day, offered="alone") for day in range(8)), head=head)
    assert code == 0
    assert [level["level"] for level in told["steps"][2]["levels"]] == list(names)


@pytest.mark.parametrize("names", [("alone",), ("alone", "help"), (*"abcdefgh", "alone")])
def test_a_ladder_that_is_none_is_refused(said, names: tuple[str, ...]) -> None:
    code, told = said(row(0, offered="alone"), head=f"{HEAD}# levels: {' | '.join(names)}\n")
    assert code == 2
    assert told["fault"].startswith("Line 3: ")


def test_twenty_steps_are_advised_on_and_twenty_one_refused(said) -> None:
    def head(steps: int) -> str:
        return f"# skill: A long one\n# steps: {' | '.join(f'Step {n}' for n in range(1, steps + 1))}\n"

    rows = [row(day).replace("Pull up", str(step)) for day in range(4) for step in range(1, 21)]
    code, told = said(*rows, head=head(20))
    assert (code, len(told["steps"])) == (0, 20)
    code, told = said(row(0).replace("Pull up", "1"), head=head(21))
    assert code == 2
    assert "21 steps" in told["fault"]


def test_one_turn_asks_for_more_and_still_says_what_is_likely(said) -> None:
    code, told = said(row(0))
    assert (code, told["decision"]) == (0, "more data")
    assert (
        told["why"]
        .replace("\u00a0", " ")
        .startswith("1 mark on 1 day since the plan began; 6 marks on 3 days")
    )
    assert alone(told)["high"] - alone(told)["low"] > 0.5


@pytest.mark.parametrize("result", ["stopped", "missing", "done by adult"])
def test_a_turn_that_says_nothing_of_skill_changes_no_chance(said, result: str) -> None:
    code, told = said(row(0, result=result))
    assert (code, told["decision"]) == (0, "more data")
    nothing = alone(said(row(0, result="missing"))[1])
    assert alone(told)["chance"] == pytest.approx(nothing["chance"], abs=0.01)


def test_a_log_without_rows_gives_one_reason_and_not_two(said) -> None:
    _, told = said()
    assert told["decision"] == "more data"
    assert told["why"].count("Nothing is written down yet") == 1
    assert "since the plan began" not in told["why"]


def test_two_years_without_a_mark_widen_and_do_not_raise(said) -> None:
    before = alone(said(*steady())[1])
    code, told = said(*steady(), row(740, result="missing"))
    assert code == 0
    after = alone(told)
    assert after["chance"] <= before["chance"] + 0.01
    assert after["low"] <= before["low"]
    code, told = said(*steady(), *(row(740 + day, turn) for day in range(3) for turn in (1, 2, 3)))
    assert (code, told["decision"] in {"hold", "fade help", "move on"}) == (0, True)


def test_ten_thousand_turns_are_replayed_and_advised_on(said) -> None:
    rows = [
        row(turn // 10, turn % 10 + 1, "managed" if turn % 10 < 7 else "not managed")
        for turn in range(10_000)
    ]
    code, told = said(*rows)
    assert (code, told["decision"]) == (0, "hold")
    words = told["steps"][2]["levels"][4]
    assert words["low"] < 0.7 < words["high"]
