"""`bylittle fit-prior`: logs of a service in, a prior and a report out; too little is told, not fitted."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from bylittle.cli import main
from bylittle.core.advice import SkillTracker
from bylittle.workflows.fit_prior import prior_from_text

HEAD = (
    "# skill: Pull on a rain boot\n# steps: Open the boot | Pull up\n"
    "date,turn,step,offered,result,adult,place,grade,source,note\n"
)
START = date(2026, 3, 2)


def logs(folder: Path, children: int, days: int = 5) -> list[Path]:
    """One file a child: four turns a day at one step, nine of ten managed alone."""
    rng = np.random.default_rng(4)
    made = []
    for child in range(children):
        good = rng.random((days, 4)) < 0.9
        lines = [
            f"{START + timedelta(days=day)},{turn + 1},Pull up,alone,"
            f"{'managed' if good[day, turn] else 'not managed'},Nana,porch,,home,\n"
            for day in range(days)
            for turn in range(4)
        ]
        made.append(folder / f"child-{child:02}.csv")
        made[-1].write_text(HEAD + "".join(lines), "utf-8")
    return made


def fit(*words: object) -> int:
    return main(["fit-prior", *map(str, words), "--processes", "1"])


def test_a_prior_is_written_and_the_report_says_how_far_it_moved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "prior.json"
    assert fit(*logs(tmp_path, 20), "--out", out, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["children"], told["left_out"], told["prior"]) == (20, 0, str(out))
    assert set(told["moved"]) == {"help", "gain", "start"}
    assert 0 < told["moved"]["start"] < 1
    assert told["evidence_a_child"]["after"] > told["evidence_a_child"]["before"]
    prior = prior_from_text(out.read_text("utf-8"))
    assert SkillTracker(2, prior=prior).chance(1, 5, 0).mean > SkillTracker(2).chance(1, 5, 0).mean


def test_no_name_of_a_file_an_adult_or_a_step_is_in_the_prior(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "prior.json"
    assert fit(*logs(tmp_path, 20), "--out", out) == 0
    said = capsys.readouterr().out
    assert "Fitted on 20 children" in said
    assert "Moved: help" in said
    written = out.read_text("utf-8")
    assert not [
        word for word in ("child-", "Pull up", "rain boot", "Nana", "porch", "2026-") if word in written
    ]


def test_too_few_children_is_told_with_both_numbers_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "prior.json"
    assert fit(*logs(tmp_path, 3), "--out", out, "--json") == 2
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"fault", "mend"}
    assert "3" in told["fault"] + told["mend"]
    assert "20" in told["fault"] + told["mend"]
    assert not out.exists()


def test_short_logs_do_not_count(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "prior.json"
    assert fit(*logs(tmp_path, 20, days=4), "--out", out, "--json") == 2
    assert "fault" in json.loads(capsys.readouterr().out)
    assert not out.exists()


def test_a_log_that_is_not_there_is_a_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = fit(tmp_path / "none.csv", "--out", tmp_path / "prior.json", "--json")
    told = json.loads(capsys.readouterr().out)
    assert code == 2
    assert "none.csv" in told["fault"]


def test_advice_starts_from_the_services_own_prior(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, (log, *others) = tmp_path / "prior.json", logs(tmp_path, 20)
    assert fit(log, *others, "--out", out) == 0
    capsys.readouterr()
    chances = []
    for words in ([], ["--prior", str(out)]):
        assert main(["advise", "--log", str(log), *words, "--json"]) == 0
        chances.append(json.loads(capsys.readouterr().out)["steps"][0]["levels"][-1]["chance"])
    assert chances[0] != chances[1]


def test_what_is_no_prior_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log, *_ = logs(tmp_path, 1)
    assert main(["advise", "--log", str(log), "--prior", str(log), "--json"]) == 2
    assert "fit-prior" in json.loads(capsys.readouterr().out)["mend"]
