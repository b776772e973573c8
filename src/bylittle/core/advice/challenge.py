"""The just-right challenge: which steps to ask, and how much help to offer on each.

Mastered steps are asked alone. Of the others at most `max_new_steps` are asked: from the end of the chain
(backward), from its front (forward), or those with least left to learn (whole task). Help is chosen so that
predicted success lies in the therapist's band, near its aim. With leap-aheads a chain passes over steps that
likely go alone already: they are asked alone, to be probed, and the first one that needs teaching is next.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bylittle.core.advice.plan import Teaching
from bylittle.core.advice.words import Goal
from bylittle.core.stats.ordinal import Floats


@dataclass(frozen=True, slots=True)
class Challenge:
    """Help level for each step, None where an adult does it, and the predicted success of asked steps.

    `new`: the steps being taught; `leapt`: those passed over, asked alone until a probe has shown them.
    """

    levels: tuple[int | None, ...]
    predicted: tuple[float | None, ...]
    new: tuple[int, ...]
    leapt: tuple[int, ...] = ()


def choose(
    chances: Floats, mastered: tuple[bool, ...], plan: Teaching, coming: tuple[bool, ...] | None = None
) -> Challenge:
    """The challenge from mean chances [step, level] and the steps already mastered.

    Steps that are `coming` (mostly done alone, not yet called) stay asked and leave room for a new one.
    """
    on_their_way = coming or (False,) * len(mastered)
    leapt = passed_over(chances, mastered, plan, on_their_way)
    known = tuple(there or step in leapt for step, there in enumerate(mastered))
    new = new_steps(chances, known, plan, on_their_way)
    top = chances.shape[1] - 1
    levels: list[int | None] = [None] * len(mastered)
    for step, goes_alone in enumerate(known):
        if goes_alone:
            levels[step] = top
        elif step in new:
            levels[step] = help_for(chances[step], plan)
    predicted = tuple(
        None if level is None else float(chances[step, level]) for step, level in enumerate(levels)
    )
    return Challenge(tuple(levels), predicted, new, leapt)


def for_a_week(today: Challenge, chances: Floats, midweek: Floats, plan: Teaching) -> Challenge:
    """The same steps with the help that will be just right in the middle of the week.

    `predicted` stays what is expected on the first day.
    """
    levels = tuple(
        help_for(midweek[step], plan) if step in today.new else level
        for step, level in enumerate(today.levels)
    )
    predicted = tuple(
        None if level is None else float(chances[step, level]) for step, level in enumerate(levels)
    )
    return Challenge(levels, predicted, today.new, today.leapt)


def passed_over(
    chances: Floats, mastered: tuple[bool, ...], plan: Teaching, coming: tuple[bool, ...]
) -> tuple[int, ...]:
    """The steps that a chain with leap-aheads passes over today, in the order of teaching.

    On the way to the steps that would be taught next, those whose chance alone reaches the band: alone is
    just right for them, so nothing is left to fade. What lies behind the last step that needs teaching is
    left for later. Where nothing is left to teach, nothing is passed over: the steps are taught as usual
    until they are called.
    """
    if not plan.leap_ahead or plan.goal is Goal.WHOLE:
        return ()
    waiting = [step for step in in_order(chances, mastered, plan) if not coming[step]]
    found: list[int] = []
    room = plan.max_new_steps
    for step in waiting:
        if chances[step, -1] >= plan.band[0]:
            found.append(step)
        elif room == 1:
            return tuple(found)
        else:
            room -= 1
    return tuple(found) if room < plan.max_new_steps else ()


def in_order(chances: Floats, mastered: tuple[bool, ...], plan: Teaching) -> list[int]:
    """The steps that are not mastered, in the plan's order of teaching; ties go to the earlier step."""
    to_teach = [step for step, known in enumerate(mastered) if not known]
    if plan.goal is Goal.BACKWARD:
        to_teach.reverse()
    elif plan.goal is Goal.WHOLE:
        ease = chances.mean(axis=1)
        to_teach.sort(key=lambda step: (-round(float(ease[step]), 9), step))
    return to_teach


def new_steps(
    chances: Floats, mastered: tuple[bool, ...], plan: Teaching, coming: tuple[bool, ...]
) -> tuple[int, ...]:
    """The steps to teach now, in the plan's order of teaching.

    All that are coming, and of the others at most `max_new_steps`.
    """
    to_teach = in_order(chances, mastered, plan)
    new = [step for step in to_teach if not coming[step]][: plan.max_new_steps]
    return tuple(step for step in to_teach if coming[step] or step in new)


def help_for(chances: Floats, plan: Teaching) -> int:
    """The level whose predicted success lies nearest the aim, in the band where one does.

    Alone is taken as soon as it lies in the band: it teaches most and only it can show mastery.
    Without any level in the band: the most independent one above it, else the surest.
    Level 0, the fullest help, tells nothing and is chosen only where all else is too hard.
    """
    low, high = plan.band
    if low + plan.alone_margin <= chances[-1] <= high:
        return len(chances) - 1
    inside = [level for level in range(1, len(chances)) if low <= chances[level] <= high]
    if inside:
        return min(inside, key=lambda level: (abs(chances[level] - plan.target), -level))
    above = [level for level in range(1, len(chances)) if chances[level] > high]
    if above:
        return max(above)
    return int(np.argmax(chances[1:])) + 1 if chances[1] >= low - 0.2 else 0
