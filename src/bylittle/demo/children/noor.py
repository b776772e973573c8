"""Noor and the step stool: new, and she gets better by herself before anybody teaches."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.plan.home_plan import Chaining
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import ChildSketch, GoalSketch, baseline
from bylittle.demo.values import Adult

NOOR = ChildSketch(
    name="Noor",
    age=(3, 0),
    skill_id="climb-step-stool",
    code="286D72",
    expected=Decision.MORE_DATA,
    course="new; baseline rising by itself",
    adults=(Adult("Baba", "B"), Adult("Mama", "M")),
    chaining=Chaining.FORWARD,
    goal=GoalSketch(
        "Noor climbs onto the step stool at the sink and down again, without a hand, on 4 of 5 days.",
        (
            "She is lifted onto the stool.",
            "She steps up with an adult's hand.",
            "She steps up alone, holding the edge.",
            "She steps up and down alone, holding the edge.",
            "She steps up and down alone with a cup in one hand.",
        ),
        by=84,
    ),
    learner=Learner(skill=(-0.5, -2.0, -3.2, -4.4, -5.6, -6.0), growth=0.4, day_sd=0.2, gap=0.0),
    probes=baseline(-18, -14, -10, -6, -2),
    precautions="An adult stands right behind, hands ready at the hips.",
    stop_signs=("holds on to Baba", "steps back"),
)
