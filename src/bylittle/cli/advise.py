"""`bylittle advise`: from a practice log to chances, decision and the next challenge, without any records."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bylittle.cli.telling import RAN, CannotRun, say_json

if TYPE_CHECKING:
    from bylittle.core.learning.prior import Prior
    from bylittle.core.practice.log import PracticeLog
    from bylittle.core.sheet.plan import SheetPlan
    from bylittle.files.csv_head import Against
    from bylittle.files.practice_csv import LogFile
    from bylittle.library.wording.advice import Names
    from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog
    from bylittle.workflows.foresight import WholeSkill

ABOUT = """\
Read a practice log and say, for each step and help level, how likely it is to be enough, with a 90 %
interval; what to do next and why; and what to ask of the child. No records are needed or changed.

  bylittle advise --log log.csv
  bylittle advise --log log.csv --plan plan.json --on 2026-03-20 --json

The log is a CSV file in UTF-8, comma or semicolon, one line for each step mark:

  # skill: Pull on a rain boot
  # steps: Open the boot | Point the toes | Pull up
  # levels: hand over hand | light touch | showing | pointing | words | alone
  date,turn,step,offered,result,adult,place,grade,source,note
  2026-03-02,1,Pull up,words,managed,M,hall,,home,

result is one of: managed, not managed, needed <level>, done by adult, stopped, missing
source is one of: home, visit, probe, baseline, paper
The comment lines may be left out where --plan gives the skill, its steps and its levels.
"""
A_DAY_AHEAD = timedelta(days=1)  # where it is already tomorrow


def add_parser(subparsers: Any) -> argparse.ArgumentParser:
    """Add `advise` to the main parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "advise",
        help="say from a practice log what is likely and what to ask next",
        description=ABOUT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--log", required=True, type=Path, metavar="LOG.csv", help="the practice log")
    parser.add_argument("--plan", type=Path, metavar="PLAN.json", help="the plan it was kept with")
    parser.add_argument("--on", metavar="DATE", help="the day to advise for (the day after the last entry)")
    parser.add_argument(
        "--chaining",
        choices=("backward", "forward", "whole"),
        help="which step is taught first, where no plan says it (whole if left out)",
    )
    parser.add_argument(
        "--leap-ahead",
        action="store_true",
        help="backward or forward: pass over steps that likely go alone, and say which to probe",
    )
    parser.add_argument("--prior", type=Path, metavar="PRIOR.json", help="what `fit-prior` wrote")
    parser.add_argument("--json", action="store_true", help="one JSON value instead of a page")
    return parser


def run(args: argparse.Namespace) -> int:
    """Advise. 0: said what it had to say; a fault of the log or the plan is raised and told as 2."""
    from bylittle.core.practice.log import PracticeLog
    from bylittle.files.practice_csv import read_log
    from bylittle.workflows.advise_log import advise_log

    today = datetime.now().astimezone().date()
    on = _day(args.on)
    plan = _plan(args.plan)
    file = read_log(args.log.read_bytes(), _against(plan, max(today + A_DAY_AHEAD, on or today)))
    log = PracticeLog.of(file.entries)
    setting = replace(_setting(file, log, plan, args), prior=_prior(args.prior))
    advised = advise_log(log, setting, on if on or file.rows else today)
    if args.json:
        say_json(as_json(advised, _names(advised, plan)))
    else:
        from bylittle.cli.advised_page import page

        print(page(advised, file, _names(advised, plan)))
    return RAN


def _prior(path: Path | None) -> Prior | None:
    from bylittle.workflows.fit_prior import prior_from_text

    return None if path is None else prior_from_text(path.read_text(encoding="utf-8"))


def _names(advised: AdvisedLog, plan: SheetPlan | None) -> Names:
    from bylittle.library.wording.advice import Names

    steps = tuple(step.name for step in advised.steps)
    return Names(steps, advised.ladder.names, (plan.child if plan else None) or "")


def as_json(advised: AdvisedLog, names: Names) -> dict[str, Any]:
    """The answer as the JSON value that other programs read: steps from 1, levels by name, chances 0..1."""
    from bylittle.library.wording.advice import if_then, sentence, what_would_change

    levels = advised.ladder.names
    return {
        "steps": [
            {
                "step": step.number,
                "name": step.name,
                "levels": [_level(name, chance) for name, chance in zip(levels, step.chances, strict=False)],
                "mastered": step.mastered,
            }
            for step in advised.steps
        ],
        "decision": advised.decision.value,
        "why": " ".join(sentence(why, names=names) for why in advised.why),
        "next": {
            "asked": [{"step": next.number, "help": levels[next.level]} for next in advised.asked],
            "for_the_family": [if_then(rule, names=names) for rule in advised.rules],
            "would_change": [what_would_change(why, names=names) for why in advised.why],
            "whole_skill": _whole_skill(advised.ahead),
        },
    }


def _whole_skill(ahead: WholeSkill) -> dict[str, Any]:
    """Days with chance .1, .5 and .9 that all steps go alone (null: cannot be said), and it in words."""
    from bylittle.library.wording.ahead import whole_skill

    days = {"early": ahead.early, "middle": ahead.middle, "late": ahead.late}
    told = {name: day.isoformat() if day else None for name, day in days.items()}
    return {**told, "why": " ".join(whole_skill(ahead))}


def _level(name: str, chance: Any) -> dict[str, Any]:
    mean, low, high = (round(float(value), 4) for value in chance)
    return {"level": name, "chance": mean, "low": low, "high": high}


def _day(told: str | None) -> date | None:
    if told is None:
        return None
    try:
        if len(told) != len("2026-03-04"):
            raise ValueError
        return date.fromisoformat(told)
    except ValueError:
        raise CannotRun("on_not_a_date", value=told) from None


def _plan(path: Path | None) -> SheetPlan | None:
    from bylittle.files.plan_json import read_plan

    if path is None:
        return None
    try:
        return read_plan(path.read_text("utf-8-sig"))
    except UnicodeDecodeError:
        raise CannotRun("plan_not_utf8", name=str(path)) from None


def _against(plan: SheetPlan | None, latest: date) -> Against:
    from bylittle.core.skill.ladder import Ladder
    from bylittle.files.csv_head import Against, version_of

    if plan is None:
        return Against(latest=latest)
    version = version_of(plan.skill, tuple(step.name for step in plan.steps))
    return Against(version, Ladder(plan.levels), latest)


def _setting(
    file: LogFile, log: PracticeLog, plan: SheetPlan | None, args: argparse.Namespace
) -> AdviceSetting:
    from bylittle.core.plan.home_plan import Chaining
    from bylittle.workflows.advise_log import AdviceSetting

    told = args.chaining or (plan.chaining if plan else None)
    return AdviceSetting(
        version=file.version,
        ladder=file.ladder,
        chaining=Chaining(told) if told else Chaining.WHOLE,
        leap_ahead=args.leap_ahead or bool(plan and plan.leap_ahead),
        plan_since=_since(plan, log),
    )


def _since(plan: SheetPlan | None, log: PracticeLog) -> date | None:
    """The plan's first day; None where its first week is yet to come: the log is of the plan before."""
    entries = log.entries()
    if plan is None or plan.start is None or not entries or plan.start > entries[-1].day:
        return None
    return plan.start
