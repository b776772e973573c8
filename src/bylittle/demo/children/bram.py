"""Bram washes hands: it began well, and nothing has been written down for three weeks."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import ChildSketch, GoalSketch, PlanSketch, baseline
from bylittle.demo.values import Adult

BRAM = ChildSketch(
    name="Bram",
    age=(2, 10),
    skill_id="wash-hands",
    code="175C66",
    expected=Decision.MORE_DATA,
    course="nothing logged for three weeks",
    adults=(Adult("Mum", "M"),),
    team=("ines", "jonah", "marit"),
    goal=GoalSketch(
        "Bram washes and dries his hands before meals, without help, on 4 of 5 days.",
        (
            "An adult washes his hands.",
            "He dries his hands alone.",
            "He rinses and dries alone.",
            "He does all steps alone at home.",
            "He does all steps alone at the nursery.",
        ),
    ),
    learner=Learner(skill=(-0.6, 0.6, -0.8, -0.4, 0.2, -0.8, 0.4), gain=0.05),
    plans=(PlanSketch(-36, {"dry": "pointing"}, grade="foam", last=-21, share=0.7),),
    probes=baseline(-46, -42, -38, grade="foam"),
    precautions="Cold tap only; an adult does any hot tap.",
    allergies="Scented soap: rash.",
    stop_signs=("pulls his hands away", "cries"),
)
