"""Pip pours from the small jug: every step stands; the check at the nursery is due."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.plan.home_plan import Chaining
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import (
    CheckSketch,
    ChildSketch,
    GoalSketch,
    PlanSketch,
    ReviewSketch,
    baseline,
    probes,
)
from bylittle.demo.values import Adult

EVERY_STEP = ("hold-jug", "steady", "lift", "tip", "stop", "down", "wipe")

PIP = ChildSketch(
    name="Pip",
    age=(3, 8),
    skill_id="pour-from-jug",
    code="E53A45",
    expected=Decision.DONE,
    course="mastered, carry-over due at the nursery",
    adults=(Adult("Papa", "P"), Adult("Dad", "D")),
    chaining=Chaining.WHOLE,
    state="lasting",
    goal=GoalSketch(
        "Pip pours his own cup of water at snack time, without help, on 4 of 5 days.",
        (
            "An adult pours; Pip holds the cup.",
            "He holds the jug and tips it with help.",
            "He pours to the line alone at home.",
            "He pours and wipes up alone at home.",
            "He pours and wipes up alone at the nursery.",
        ),
        by=14,
    ),
    learner=Learner(skill=(3.6, 3.2, 3.2, 2.6, 2.4, 3.0, 3.2), gain=0.1, best=5.5, day_sd=0.2, gap=0.1),
    plans=(
        PlanSketch(-60, {"tip": "words", "stop": "words", "wipe": "words"}, grade="heavy-cup"),
        PlanSketch(-42, dict.fromkeys(EVERY_STEP, "alone"), turns=4, share=0.8),
    ),
    probes=baseline(-70, -66, -63) + probes(-43, -22, -15, -8),
    reviews=(
        ReviewSketch(-42, Decision.MOVE_ON, "The last steps stand. All steps alone, own cup."),
        ReviewSketch(
            -15, Decision.DONE, "All steps alone in my probe as well. Carry-over checks from now on."
        ),
    ),
    checks=(
        CheckSketch(-8, "home", "P", done=-8, kept=True, note="Poured for both of us."),
        CheckSketch(-1, "nursery"),
        CheckSketch(13, "Grandma's"),
    ),
    allergies="Cow's milk: water only.",
)
