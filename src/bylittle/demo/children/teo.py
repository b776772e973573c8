"""Teo buttons his cardigan: the large button has done its work, the usual one can come."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.core.plan.home_plan import Chaining
from bylittle.core.skill.materials import Thing
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import (
    ChildSketch,
    GoalSketch,
    LookSketch,
    PlanSketch,
    ReviewSketch,
    ScreenSketch,
    baseline,
    probes,
)
from bylittle.demo.values import Adult

EVERY_STEP = ("hold-cloth", "pinch-button", "tip", "push", "swap", "pull")

TEO = ChildSketch(
    name="Teo",
    age=(6, 1),
    skill_id="push-button-through",
    code="397E83",
    expected=Decision.CHANGE_MATERIAL,
    course="larger button has done its work: on to the usual one",
    adults=(Adult("Mamá", "M"), Adult("Abuela", "Ab")),
    language="es",
    chaining=Chaining.WHOLE,
    breakdown="doing",
    mouths=False,
    looks=(LookSketch(-50, ("has-idea", "copy-clumsy", "both-poor", "easier-large")),),
    screens=(
        ScreenSketch(-50, "Large button", Thing("cylinder", {"diameter_mm": 28.0, "length_mm": 4.0})),
        ScreenSketch(-13, "Usual button", Thing("cylinder", {"diameter_mm": 15.0, "length_mm": 3.0})),
    ),
    goal=GoalSketch(
        "Teo pushes the button of his cardigan through, on his own front, without help, on 4 of 5 days.",
        (
            "An adult does the button.",
            "He pushes a large button through on the table.",
            "He does a large button on his own front.",
            "He does one usual button on his own front.",
            "He does three usual buttons in a row.",
        ),
    ),
    learner=Learner(skill=(3.0, 2.2, 2.0, 1.6, 1.6, 2.4), gain=0.1, best=5.5, day_sd=0.2, gap=0.1),
    plans=(
        PlanSketch(-42, {"push": "pointing", "swap": "pointing", "pull": "words"}, grade="felt"),
        PlanSketch(-26, dict.fromkeys(EVERY_STEP, "words"), grade="large", turns=4, share=0.9),
        PlanSketch(-12, dict.fromkeys(EVERY_STEP, "alone"), grade="large", turns=5, share=0.9),
    ),
    probes=baseline(-50, -47, -44, grade="felt") + probes(-27, -13, -3, grade="large"),
    reviews=(
        ReviewSketch(-26, Decision.CHANGE_MATERIAL, "Felt goes well. Large button on his own front now."),
        ReviewSketch(-12, Decision.FADE_HELP, "Words are hardly needed. Alone with the large button."),
    ),
    precautions="Se cansa pronto: dos minutos y un descanso.",
    allergies="Ninguna conocida.",
    when_it_goes_wrong="Diga: vamos a probar. Muéstrelo otra vez, ayude un poco y siga.",
    praise="Diga enseguida qué salió: ¡lo pasaste tú!",
    stop_signs=("dice «basta»", "apoya la cabeza"),
    yes_signs=("se acerca", "mira y sonríe"),
)
