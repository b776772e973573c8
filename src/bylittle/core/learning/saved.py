"""A tracker's state as JSON text and back, exactly. No code is ever run from it."""

from __future__ import annotations

import base64
import json
from dataclasses import asdict
from typing import Any

import numpy as np

from bylittle.core.faults import BadValue
from bylittle.core.learning.prior import Prior, Shape
from bylittle.core.learning.tracker import MarkKind, Settings, State
from bylittle.core.learning.writers import Writer

FORMAT = 4


def to_text(state: State) -> str:
    """The state as JSON text; `from_text` gives back an equal one."""
    return json.dumps(as_value(state), separators=(",", ":"), sort_keys=True)


def from_text(text: str) -> State:
    """The state from its text; BadValue where the text is not one of ours."""
    try:
        return from_value(json.loads(text))
    except (KeyError, TypeError, ValueError) as error:
        raise BadValue("saved_state", name="state", value=str(error), allowed="text of to_text") from error


def as_value(state: State) -> dict[str, Any]:
    """The state as JSON values."""
    return {
        "format": FORMAT,
        "settings": _settings_value(state.settings),
        "day": state.day,
        "turns": state.turns,
        "days": state.days,
        "belief": _packed(state.belief.astype("<f4").tobytes()),
        "log_weights": _packed(state.log_weights.astype("<f8").tobytes()),
        "offsets": _packed(state.offsets.astype("<f8").tobytes()),
        "precision": _packed(state.precision.astype("<f8").tobytes()),
        "today": [[list(kind), count] for kind, count in sorted(state.today.items())],
        "effort": [[*key, *practised] for key, practised in sorted(state.effort.items())],
        "alone_days": [list(days) for days in state.alone_days],
        "recent": [[day, _packed(data)] for day, data in state.recent],
        "names": [list(names) for names in state.names],
        "grades": list(state.grades),
        "writers": {adult: asdict(known) for adult, known in sorted(state.writers.items())},
        "log_evidence": state.log_evidence,
    }


def from_value(value: dict[str, Any]) -> State:
    """The state from JSON values as `as_value` gives them."""
    if value["format"] != FORMAT:
        raise BadValue("saved_format", name="format", value=value["format"], allowed=FORMAT)
    settings = _settings(value["settings"])
    c, h, g = (len(settings.bank.shapes), *settings.bank.start_belief.shape)
    adults, places, grades = (tuple(names) for names in value["names"])
    return State(
        settings=settings,
        day=value["day"],
        turns=value["turns"],
        days=value["days"],
        belief=np.frombuffer(_unpacked(value["belief"]), "<f4").reshape(settings.n_steps, c, h, g),
        log_weights=np.frombuffer(_unpacked(value["log_weights"]), "<f8").reshape(c, h),
        offsets=np.frombuffer(_unpacked(value["offsets"]), "<f8").reshape(c, settings.top - 1),
        precision=np.frombuffer(_unpacked(value["precision"]), "<f8").reshape(c, settings.top - 1),
        today={_kind(kind): count for kind, count in value["today"]},
        effort={(step, level): (amount, goes) for step, level, amount, goes in value["effort"]},
        alone_days=tuple(tuple(days) for days in value["alone_days"]),
        recent=tuple((day, _unpacked(data)) for day, data in value["recent"]),
        names=(adults, places, grades),
        grades=tuple(value["grades"]),
        writers={adult: _writer(known) for adult, known in value["writers"].items()},
        log_evidence=value["log_evidence"],
    )


def _kind(kind: list[Any]) -> MarkKind:
    step, noise, reported, adult, lo, hi = kind
    return step, noise, reported, adult, lo, hi


def _writer(value: dict[str, Any]) -> Writer:
    return Writer(value["lately"], value["exact_odds"], tuple(value["ways"]), tuple(value["evidence"]))


def _settings_value(settings: Settings) -> dict[str, Any]:
    return {
        "n_steps": settings.n_steps,
        "n_levels": settings.n_levels,
        "grades": list(settings.grades),
        "prior": asdict(settings.prior),
    }


def _settings(value: dict[str, Any]) -> Settings:
    return Settings(
        value["n_steps"], value["n_levels"], prior_from_value(value["prior"]), tuple(value["grades"])
    )


def prior_from_value(value: dict[str, Any]) -> Prior:
    """A prior from JSON values as `dataclasses.asdict` gives them."""
    fields: dict[str, Any] = {
        name: tuple(each) if isinstance(each, list) else each for name, each in value.items()
    }
    fields["shapes"] = tuple(Shape(**shape) for shape in fields["shapes"])
    return Prior(**fields)


def _packed(data: bytes) -> str:
    return base64.b85encode(data).decode("ascii")


def _unpacked(text: str) -> bytes:
    return base64.b85decode(text)
