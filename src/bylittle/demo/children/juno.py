"""Juno and her sun hat: what the family writes down runs ahead of what the therapist sees."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.practice.marks import Source
from bylittle.core.skill.materials import Thing
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import (
    ChildSketch,
    CoachingSketch,
    GoalSketch,
    PlanSketch,
    ReviewSketch,
    ScreenSketch,
    baseline,
    probes,
)
from bylittle.demo.values import Adult

JUNO = ChildSketch(
    name="Juno",
    age=(2, 4),
    skill_id="put-on-sun-hat",
    code="C31E22",
    expected=Decision.CHECK_FIDELITY,
    course="family marks run ahead of the therapist's probes",
    adults=(Adult("Mum", "M"), Adult("Auntie", "A")),
    goal=GoalSketch(
        "Juno puts on her own sun hat before she goes out, without help, on 4 of 5 days.",
        (
            "She lets an adult put the hat on.",
            "She pulls the hat down alone.",
            "She sets the hat on her head and pulls it down alone.",
            "She does all steps alone at home.",
            "She does all steps alone at the park.",
        ),
    ),
    learner=Learner(skill=(0.4, 0.0, -0.4, -1.1, -1.8), gain=0.0, kindly=0.8, day_sd=0.3),
    plans=(
        PlanSketch(-36, {"pull": "words", "brim": "words"}, source=Source.PAPER),
        PlanSketch(-20, {"pull": "alone", "brim": "alone"}, source=Source.PAPER, turns=4, share=0.8),
    ),
    probes=baseline(-44, -41, -38) + probes(-21, -17, -13, -9, -5, -1),
    reviews=(
        ReviewSketch(
            -20,
            Decision.FADE_HELP,
            "At home it goes with words every time; alone from now on, and I come twice a week.",
        ),
    ),
    mouths=True,
    screens=(
        ScreenSketch(-44, "Chin cord with a toggle", Thing(cord_mm=320.0, loop_mm=400.0), left_out=-44),
    ),
    coaching=(CoachingSketch(-21, "M", partly=("wait",)), CoachingSketch(-9, "M")),
    precautions="The chin strap stays open.",
    allergies="Wool: itches. Cotton hat only.",
    stop_signs=("throws the hat", "hides her face"),
)
