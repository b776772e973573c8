"""Wren, steady with her rain boot: the last two steps of a backward chain stand, the next can come."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import ChildSketch, GoalSketch, PlanSketch, ReviewSketch, baseline, probes
from bylittle.demo.values import Adult

WREN = ChildSketch(
    name="Wren",
    age=(3, 1),
    skill_id="pull-on-rain-boot",
    code="A11C07",
    expected=Decision.MOVE_ON,
    course="steady, backward chain, ready to move on",
    adults=(Adult("Mum", "M"), Adult("Dad", "D"), Adult("Nana", "Nana")),
    team=("ines", "jonah", "marit"),
    goal=GoalSketch(
        "Wren pulls on her rain boots at the door before she goes out, without help, on 4 of 5 days.",
        (
            "An adult puts both boots on; Wren lifts her foot.",
            "She stamps the heel down alone.",
            "She pulls up and stamps alone.",
            "She does all steps alone at home.",
            "She does all steps alone in the nursery hall.",
        ),
    ),
    learner=Learner(skill=(-2.6, -2.2, -1.8, -1.4, -0.8, 0.6), gain=0.08, best=5.0),
    plans=(
        PlanSketch(-44, {"stamp": "pointing"}),
        PlanSketch(-30, {"pull": "light touch", "stamp": "alone"}),
        PlanSketch(-16, {"pull": "alone", "stamp": "alone"}, turns=5, share=0.85),
    ),
    probes=baseline(-52, -49, -46) + probes(-31, -17, -2),
    reviews=(
        ReviewSketch(-30, Decision.MOVE_ON, "She stamps alone at the visit too. Pulling up comes next."),
        ReviewSketch(-16, Decision.FADE_HELP, "Pulling up needs hardly a touch any more; alone from now on."),
    ),
    precautions="Sits on the low step with the wall behind her: she tips back when she pulls hard.",
    stop_signs=("drops the boot", "says no", "goes to Mum"),
    yes_signs=("brings the boots", "holds up her foot"),
)
