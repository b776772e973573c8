"""A child's practice as long single-case data: one line a value, ready for any statistics program.

There is no formal standard; the columns `case, phase, time, value` are the usual ones, ours follow them.

- `measure`: `mark` (one step on one turn) or `steps alone` (one probe: how many steps were done alone).
- `value` of a mark: 1 where the help in `prompt` was enough, 0 where it was not, empty where nobody can know
  (a stop, a blank, done by an adult: missing, never zero).
- `phase`: `baseline` before the first signed plan began, then `plan N` by its number.
- `time`: an ISO date. `version`: of the steps that were practised.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping

from bylittle.core.evidence.child_record import ChildRecord, KeptSkill
from bylittle.core.evidence.series import managed_with_offer, probes
from bylittle.core.practice.log import Entry, Identity
from bylittle.core.practice.marks import Status
from bylittle.files.csv_cells import guarded

COLUMNS = (
    "case", "skill", "phase", "time", "measure", "value", "step", "prompt", "observer", "source", "version",
    "turn", "result", "of",
)  # fmt: skip
BASELINE = "baseline"


def write_single_case(record: ChildRecord, case: str = "") -> str:
    """The record as CSV text; encode as UTF-8. `case` names the child in the file (her number if empty)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for skill in record.skills:
        for row in (*mark_rows(skill), *probe_rows(skill)):
            told = {**row, "case": case or record.id, "skill": skill.name}
            writer.writerow([guarded(str(told.get(column, ""))) for column in COLUMNS])
    return out.getvalue()


def mark_rows(skill: KeptSkill) -> Iterator[Mapping[str, object]]:
    """One row for each mark that stands, by date and turn."""
    names = {step.id: step.name for version in skill.versions for step in version.steps.steps}
    versions = _versions(skill)
    for entry in skill.log.entries():
        yield {
            "phase": phase_of(skill, entry),
            "time": entry.day.isoformat(),
            "measure": "mark",
            "value": value_of(entry, skill.ladder.top),
            "step": names.get(entry.step_id, entry.step_id),
            "prompt": "" if (level := prompt_of(entry)) is None else skill.ladder.name(level),
            "observer": entry.adult,
            "source": entry.source.value,
            "version": versions.get(entry.identity, ""),
            "turn": entry.turn,
            "result": entry.outcome.value,
        }


def probe_rows(skill: KeptSkill) -> Iterator[Mapping[str, object]]:
    """One row for each probe: how many of the child's steps were done alone, and `of` how many."""
    ids = tuple(step.id for step in skill.newest.steps.steps if not step.adult_only)
    entries = skill.log.entries()
    versions = _versions(skill)
    found = {(e.day, e.turn, e.adult): e for e in entries}
    for probe in probes(entries, ids, skill.ladder.top):
        entry = found[probe.day, probe.turn, probe.adult]
        yield {
            "phase": phase_of(skill, entry),
            "time": probe.day.isoformat(),
            "measure": "steps alone",
            "value": probe.alone,
            "prompt": skill.ladder.names[-1],
            "observer": probe.adult,
            "source": "baseline" if probe.baseline else "probe",
            "version": versions.get(entry.identity, ""),
            "turn": probe.turn,
            "of": probe.steps,
        }


def phase_of(skill: KeptSkill, entry: Entry) -> str:
    """The phase of a mark: the plan that was followed on its day, else the baseline."""
    kept = skill.plan_on(entry.day)
    return f"plan {kept.plan.number}" if kept is not None else BASELINE


def prompt_of(entry: Entry) -> int | None:
    """The level that `value` speaks of: the one offered, else the one needed."""
    return entry.needed if entry.offered is None else entry.offered


def value_of(entry: Entry, top: int) -> int | str:
    """1 or 0 for help that was or was not enough, empty where the mark cannot tell."""
    reach = entry.reach(top)
    if reach.status is not Status.DONE or (level := prompt_of(entry)) is None:
        return ""
    told = managed_with_offer(entry, reach, top) if entry.offered is not None else reach.lo >= level
    if reach.exact:
        told = reach.lo >= level
    return "" if told is None else int(told)


def _versions(skill: KeptSkill) -> Mapping[Identity, int]:
    """The version of the steps of each row that stands: of the last word about it."""
    found: dict[Identity, int] = {}
    for line in skill.practice:
        entry = line.record if isinstance(line.record, Entry) else line.record.entry
        if entry is not None:
            found[entry.identity] = line.version
    return found
