"""The safety gate: what must be answered before a plan can be signed. Nothing is ever pre-filled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bylittle.core.faults import BadValue, Fault, raise_all


@dataclass(frozen=True, slots=True)
class GateAnswer:
    """The answer to one red-flag question; a yes needs `done`: what the therapist did about it."""

    question: str
    yes: bool | None
    done: str = ""


@dataclass(frozen=True, slots=True)
class SafetyGate:
    """All that is asked about safety before signing.

    `precautions` and `allergies`: text, or the therapist's own "none known"; None means not answered.
    """

    answers: tuple[GateAnswer, ...]
    precautions: str | None
    allergies: str | None
    stop_signs: tuple[str, ...]
    yes_signs: tuple[str, ...]
    call: str

    def check(self, questions: Sequence[str]) -> None:
        """Raise everything that blocks signing, told together."""
        raise_all(blocks_of(self, questions))


def blocks_of(gate: SafetyGate, questions: Sequence[str]) -> list[Fault]:
    """What blocks signing: an unanswered question, a yes nobody acted on, a missing sign or number."""
    given: Mapping[str, GateAnswer] = {answer.question: answer for answer in gate.answers}
    found: list[Fault] = []
    for question in questions:
        found.extend(_answer_faults(question, given.get(question)))
    for name, value in (("precautions", gate.precautions), ("allergies", gate.allergies)):
        if value is None or not value.strip():
            found.append(BadValue("gate_not_answered", name=name, value=value, allowed="text"))
    for name, signs in (("stop_signs", gate.stop_signs), ("yes_signs", gate.yes_signs)):
        if not signs:
            found.append(BadValue("gate_not_answered", name=name, value="", allowed="at least one"))
    if not gate.call.strip():
        found.append(BadValue("gate_not_answered", name="call", value="", allowed="text"))
    return found


def _answer_faults(question: str, answer: GateAnswer | None) -> list[Fault]:
    if answer is None or answer.yes is None:
        return [BadValue("red_flag_not_answered", name=question, value=None, allowed=("yes", "no"))]
    if answer.yes and not answer.done.strip():
        return [BadValue("red_flag_needs_action", name=question, value="yes", allowed="what was done")]
    return []
