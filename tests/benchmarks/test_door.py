"""The one door to all benchmarks."""

from __future__ import annotations

import pytest

from benchmarks.__main__ import call, door, run


@pytest.mark.parametrize("name", ["children", "open_trials", "speed_of_advice", "effect_sizes", "library"])
def test_each_benchmark_has_a_main(name: str) -> None:
    assert callable(door(name))


def test_a_benchmark_that_is_not_there_is_said_to_be_missing(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("no_such_thing", []) == 2
    assert "no_such_thing" in capsys.readouterr().out


def test_an_unknown_name_gets_the_help_and_exit_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["nonsense"]) == 2
    assert "open_trials" in capsys.readouterr().out
    assert run(["--help"]) == 0


def test_open_trials_runs_through_the_door(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["open_trials"]) == 0
    assert "our tracker" in capsys.readouterr().out


def test_a_small_study_prints_both_tables_and_the_bars(capsys: pytest.CaptureFixture[str]) -> None:
    asked = [
        "children",
        "--kinds",
        "fast",
        "three",
        "--children",
        "2",
        "--processes",
        "1",
        "--no-patterns",
        "--others",
        "1",
    ]
    assert run([*asked, "--policies", "advice, daily", "3 days"]) == 0
    out = capsys.readouterr().out
    assert "the truth" in out
    assert "whole task, 80 % on 3 days" in out
    assert "A regret, nats a mark" in out
    assert "B false calls" in out
