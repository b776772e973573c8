"""`bylittle fit-prior`: logs of a service in, a prior and a report out; too little is told, not fitted."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from bylittle.cli import main
from bylittle.core.advice import SkillTracker
from bylittle.core.learning.fitting import ChildLog
from bylittle.core.learning.prior import SHIPPED
from bylittle.core.practice.log import PracticeLog
from bylittle.files.practice_csv import read_log
from bylittle.workflows.fit_prior import child_log, prior_from_text

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


def child_log_of(path: Path) -> ChildLog:
    file = read_log(path.read_bytes())
    return child_log(PracticeLog.of(file.entries), file.version, file.ladder)


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


def test_a_data_directory_is_read_and_its_prior_written_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = [child_log_of(path) for path in logs(tmp_path, 20)]
    monkeypatch.setattr("bylittle.web.records.child_logs", lambda data: told if data == tmp_path else [])
    assert fit("--data", tmp_path, "--json") == 0
    first = json.loads(capsys.readouterr().out)
    assert (first["prior"], first["kept"]) == (str(tmp_path / "prior.json"), None)
    written = (tmp_path / "prior.json").read_text("utf-8")
    assert prior_from_text(written).start_shares != SHIPPED.start_shares
    (tmp_path / "prior.json").write_text("of last year", "utf-8")
    assert fit("--data", tmp_path) == 0
    assert "kept as" in capsys.readouterr().out
    assert (tmp_path / "prior-before.json").read_text("utf-8") == "of last year"
    assert (tmp_path / "prior.json").read_text("utf-8") == written


def test_records_with_too_few_children_keep_the_prior_they_have(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = [child_log_of(path) for path in logs(tmp_path, 7)]
    monkeypatch.setattr("bylittle.web.records.child_logs", lambda data: told)
    (tmp_path / "prior.json").write_text("of last year", "utf-8")
    assert fit("--data", tmp_path, "--json") == 2
    said = json.loads(capsys.readouterr().out)
    assert said["fault"] == "7 children have enough practice to learn from; 20 are needed."
    assert "20 turns" in said["mend"]
    assert (tmp_path / "prior.json").read_text("utf-8") == "of last year"
    assert not (tmp_path / "prior-before.json").exists()


@pytest.mark.parametrize("words", [[], ["--out", "prior.json"], ["LOG", "--data", "."], ["LOG"]])
def test_what_to_fit_on_and_where_it_goes_must_be_said(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (log,) = logs(tmp_path, 1)
    assert fit(*(log if word == "LOG" else word for word in words), "--json") == 2
    said = json.loads(capsys.readouterr().out)
    assert "--" in said["mend"]


def test_what_is_no_prior_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log, *_ = logs(tmp_path, 1)
    assert main(["advise", "--log", str(log), "--prior", str(log), "--json"]) == 2
    assert "fit-prior" in json.loads(capsys.readouterr().out)["mend"]
