"""Otto, stuck at light touch with the zip: his two adults use different words."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.skill.materials import Thing
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import (
    ChildSketch,
    CoachingSketch,
    GoalSketch,
    LookSketch,
    PlanSketch,
    ReviewSketch,
    ScreenSketch,
    SpokenSketch,
    baseline,
    probes,
)
from bylittle.demo.values import Adult

OTTO = ChildSketch(
    name="Otto",
    age=(4, 0),
    skill_id="zip-up-raincoat",
    code="B20D14",
    expected=Decision.CHECK_FIDELITY,
    course="stuck at light touch; two adults use different words",
    adults=(Adult("Mama", "Ma"), Adult("Granddad", "G")),
    team=("ines", "jonah", "marit"),
    goal=GoalSketch(
        "Otto zips up his raincoat before the door opens, without help, on 4 of 5 days.",
        (
            "An adult zips the coat; Otto stands still.",
            "He pulls the tab up with light touch.",
            "He pulls the tab up alone.",
            "He pinches the tab and pulls it up alone.",
            "He does all steps alone.",
        ),
    ),
    learner=Learner(
        skill=(-3.0, -3.0, -2.6, -2.4, -1.5, -2.0), gain=0.0, day_sd=0.3, with_adult={"Ma": 1.0, "G": -1.3}
    ),
    plans=(
        PlanSketch(-47, {"pull": "light touch"}, turns=5, share=0.8),
        PlanSketch(-28, {"pull": "light touch"}, turns=5, share=0.85),
    ),
    probes=baseline(-55, -52, -49) + probes(-29, -8),
    reviews=(ReviewSketch(-28, Decision.HOLD, "Some days go well. Two more weeks with the same plan."),),
    adults_differ=True,
    breakdown="plan",
    mouths=False,
    looks=(LookSketch(-49, ("has-idea", "copy-muddled", "new-much-worse", "guided-slow-gain")),),
    screens=(ScreenSketch(-49, "Cord loop on the zip tab", Thing(cord_mm=90.0, loop_mm=180.0)),),
    coaching=(
        CoachingSketch(-40, "Ma", partly=("wait", "record"), note="Warm and calm. Wait for a slow five."),
        CoachingSketch(-29, "Ma", partly=("record",)),
        CoachingSketch(
            -29,
            "G",
            partly=("wait", "praise", "record"),
            missed=("cue-words", "fixed-offer"),
            note="Says “come on, lad” and pulls along. Agree on the words: “Zip up”.",
        ),
        CoachingSketch(-8, "Ma"),
        CoachingSketch(
            -8,
            "G",
            partly=("wait", "record"),
            missed=("cue-words", "fixed-offer"),
            note="He waits longer now. The words are still his own.",
        ),
    ),
    spoken=(
        SpokenSketch(-8, "Mama", {"pull": "Zip up", "pinch": "Pinch the tab", "hold": "Hold it low"}),
        SpokenSketch(-8, "Granddad", {"pull": "Come on, lad", "pinch": "Pinch it", "hold": "Hold it low"}),
    ),
    precautions="Skin pinched at the neck once: a finger behind the zip for the last bit.",
    stop_signs=("pulls the coat off", "walks away"),
)
