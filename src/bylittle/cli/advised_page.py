"""The page that `bylittle advise` prints: chances with intervals, the advice, its reason and what to ask."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from bylittle.files.practice_csv import LogFile
from bylittle.library.wording import say
from bylittle.library.wording.advice import (
    Names,
    decision_explained,
    decision_title,
    help_phrase,
    sentence,
    what_would_change,
)
from bylittle.library.wording.ahead import gap, whole_skill
from bylittle.workflows.advise_log import AdvisedLog, NextStep, StepOutlook

WIDTH = 100
NAME_WIDTH = 28
_TOPIC = "advised"


def page(advised: AdvisedLog, file: LogFile, names: Names) -> str:
    """The whole page, for a console of 100 columns."""
    parts = (_head(advised, file), _table(advised), _advice(advised, names), _next(advised), _ahead(advised))
    return "\n\n".join("\n".join(lines) for lines in parts) + f"\n\n{say(_TOPIC, 'caution')}"


def _head(advised: AdvisedLog, file: LogFile) -> Iterator[str]:
    told = file.skill_name if file.named else say(_TOPIC, "skill_unnamed")
    marks, days = advised.marks, advised.practice_days
    yield say(_TOPIC, "head", skill=told, day=advised.on, marks=marks, days=days)
    if not file.named:
        yield from wrap(say(_TOPIC, "unnamed", steps=len(file.step_names)), WIDTH)
    if advised.passed_over:
        yield say(_TOPIC, "passed_over", rows=advised.passed_over)


def _table(advised: AdvisedLog) -> Iterator[str]:
    """A row a step; the fullest help is left out, because it is always enough by its meaning."""
    yield say(_TOPIC, "table")
    levels = advised.ladder.names[1:]
    widths = [max(len(level), len("100 % (100-100)")) for level in levels]
    heads = (f"{level:>{width}}" for level, width in zip(levels, widths, strict=True))
    yield "  ".join((f"{say(_TOPIC, 'columns'):<{NAME_WIDTH}}", *heads))
    for step in advised.steps:
        yield from _row(step, widths)


def _row(step: StepOutlook, widths: list[int]) -> Iterator[str]:
    name, *more = wrap(f"{step.number}. {step.name}", NAME_WIDTH, subsequent_indent="   ")
    if step.by_adult:
        yield f"{name:<{NAME_WIDTH}}  {say(_TOPIC, 'by_adult')}"
    else:
        cells = (f"{100 * c.mean:.0f} % ({100 * c.low:.0f}-{100 * c.high:.0f})" for c in step.chances[1:])
        told = (f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
        yield "  ".join((f"{name:<{NAME_WIDTH}}", *told))
    yield from more
    if step.mastered or step.probably_ready:
        yield f"   {say(_TOPIC, 'mastered' if step.mastered else 'probably_ready')}"


def _advice(advised: AdvisedLog, names: Names) -> Iterator[str]:
    title, explained = decision_title(advised.decision), decision_explained(advised.decision)
    yield from wrap(say(_TOPIC, "decision", decision=title, explained=explained), WIDTH)
    for why in advised.why:
        yield from wrap(say(_TOPIC, "because", why=sentence(why, names=names)), WIDTH)
        change = what_would_change(why, names=names)
        yield from wrap(say(_TOPIC, "would_change", change=change), WIDTH)


def _ahead(advised: AdvisedLog) -> Iterator[str]:
    """When the whole skill may be done, and reported against observed; silence with its reason."""
    for told in (*whole_skill(advised.ahead), *gap(advised.gap)):
        yield from wrap(told, WIDTH)


def _next(advised: AdvisedLog) -> Iterator[str]:
    if not advised.asked:
        yield say(_TOPIC, "next_nothing")
        return
    yield say(_TOPIC, "next_least_to_most" if advised.least_to_most else "next")
    for step in advised.asked:
        yield f"  {_next_step(step, advised)}"


def _next_step(step: NextStep, advised: AdvisedLog) -> str:
    name, help = advised.steps[step.number - 1].name, help_phrase(advised.ladder.name(step.level))
    return say(_TOPIC, "next_step", number=step.number, step=name, help=help, chance=step.chance)
