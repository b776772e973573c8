"""A skill and its versioned steps. Practice belongs to one version; step ids stay when words change."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bylittle.core.faults import BadValue, Fault, raise_all

FEWEST_STEPS, MOST_STEPS = 1, 20
LONGEST_NAME = 80
LONGEST_CUE = 30


@dataclass(frozen=True, slots=True)
class Step:
    """One observable action. `adult_only` steps are never asked of the child (heat, a sharp edge)."""

    id: str
    name: str
    cue: str
    done_when: str = ""
    adult_only: bool = False
    hazard: str = ""


@dataclass(frozen=True, slots=True)
class SkillVersion:
    """The steps of a skill at one time, in the order they are done. `mirrored` for the left hand."""

    number: int
    name: str
    steps: tuple[Step, ...]
    mirrored: bool = False

    def __post_init__(self) -> None:
        raise_all(faults_of(self))

    def position(self, step_id: str) -> int:
        """Place of a step in the chain, from 0; BadValue when this version has no such step."""
        for position, step in enumerate(self.steps):
            if step.id == step_id:
                return position
        known = tuple(step.id for step in self.steps)
        raise BadValue("step_not_in_version", name="step", value=step_id, allowed=known, version=self.number)

    def revised(self, steps: tuple[Step, ...], *, name: str | None = None) -> SkillVersion:
        """The next version with other steps; this one stays as it was."""
        return replace(self, number=self.number + 1, steps=steps, name=name or self.name)

    def find(self, name_or_number: str) -> int:
        """Place of a step told by its number from 1 or its name; BadValue when there is none."""
        told = " ".join(name_or_number.split())
        if told.isdecimal() and 1 <= int(told) <= len(self.steps):
            return int(told) - 1
        for position, step in enumerate(self.steps):
            if step.name.casefold() == told.casefold():
                return position
        allowed = tuple(step.name for step in self.steps)
        raise BadValue("step_not_in_version", name="step", value=told, allowed=allowed, version=self.number)


def faults_of(version: SkillVersion) -> list[Fault]:
    """Everything that keeps these steps from being taught, all at once."""
    found: list[Fault] = []
    if not FEWEST_STEPS <= len(version.steps) <= MOST_STEPS:
        allowed = (FEWEST_STEPS, MOST_STEPS)
        found.append(BadValue("step_count", name="steps", value=len(version.steps), allowed=allowed))
    ids = [step.id for step in version.steps]
    if len(set(ids)) != len(ids):
        found.append(BadValue("step_ids_repeat", name="steps", value=ids, allowed="each id once"))
    for number, step in enumerate(version.steps, start=1):
        found.extend(_faults_of_step(number, step))
    return found


def _faults_of_step(number: int, step: Step) -> list[Fault]:
    found: list[Fault] = []
    if not 1 <= len(step.name.strip()) <= LONGEST_NAME:
        allowed = (1, LONGEST_NAME)
        found.append(BadValue("step_name_length", name="name", value=step.name, allowed=allowed, step=number))
    if len(step.cue.strip()) > LONGEST_CUE:
        found.append(
            BadValue("cue_length", name="cue", value=step.cue, allowed=(0, LONGEST_CUE), step=number)
        )
    return found
