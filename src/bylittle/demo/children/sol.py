"""Sol on the trike: it went well until the stops began to rise."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.plan.home_plan import Chaining
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import ChildSketch, GoalSketch, PlanSketch, ReviewSketch, baseline, probes
from bylittle.demo.values import Adult

SOL = ChildSketch(
    name="Sol",
    age=(5, 2),
    skill_id="pedal-trike",
    code="D42F31",
    expected=Decision.PAUSE,
    course="whole task; stops rising",
    adults=(Adult("Mum", "M"), Adult("Dad", "D")),
    team=("ines", "jonah", "marit"),
    chaining=Chaining.WHOLE,
    goal=GoalSketch(
        "Sol pedals his trike for ten metres on the flat path, without a push, on 4 of 5 days.",
        (
            "He sits on the trike and is pushed.",
            "He pedals two turns after a push.",
            "He pedals ten metres without a push.",
            "He pedals ten metres and stops at the line.",
            "He rides to the end of the fenced path and back.",
        ),
    ),
    learner=Learner(
        skill=(1.5, 0.6, -0.4, -0.8, -1.4, -1.0, 0.2), gain=0.03, stops=(0.0, 0.85), stops_days=10
    ),
    plans=(
        PlanSketch(-33, {"feet": "words", "push": "light touch", "swap": "light touch"}, grade="pushed"),
        PlanSketch(
            -17, {"feet": "alone", "push": "showing", "swap": "showing"}, grade="own", turns=5, share=0.95
        ),
    ),
    probes=baseline(-41, -38, -35, grade="pushed") + probes(-18),
    reviews=(ReviewSketch(-17, Decision.FADE_HELP, "He pushes on without the first push. Own trike now."),),
    precautions="Helmet on. Flat, fenced path only; an adult within reach.",
    stop_signs=("gets off", "says stop", "covers his ears"),
    yes_signs=("runs to the trike", "laughs"),
)
