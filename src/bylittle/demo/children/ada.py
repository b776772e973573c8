"""Ada had the scissors: after a time away a mastered step is gone. That is a red flag, not a lesson."""

from __future__ import annotations

from bylittle.core.advice import Decision
from bylittle.demo.simulator import Learner
from bylittle.demo.sketch import ChildSketch, GoalSketch, PlanSketch, ReviewSketch, baseline, probes
from bylittle.demo.values import Adult

OPEN_BLADES, SNIP = 3, 5

ADA = ChildSketch(
    name="Ada",
    age=(4, 6),
    skill_id="snip-paper",
    code="F64B58",
    expected=Decision.REFER,
    course="a mastered step lost: red flag",
    adults=(Adult("Mum", "M"), Adult("Opa", "O")),
    left_handed=True,
    goal=GoalSketch(
        "Ada snips along a paper strip at the table, three strips, without help, on 4 of 5 days.",
        (
            "An adult snips with a hand over Ada's.",
            "She closes the blades alone on card.",
            "She opens and closes the blades alone on card.",
            "She snips a strip of paper alone.",
            "She snips a fringe along a sheet alone.",
        ),
    ),
    learner=Learner(
        skill=(0.0, 1.6, 1.0, 1.4, 0.8, 2.0, 2.4),
        gain=0.09,
        best=5.0,
        lost={OPEN_BLADES: (-7, 7.0), SNIP: (-7, 6.0)},
    ),
    plans=(
        PlanSketch(-58, {"snip": "words", "down": "words"}, grade="card"),
        PlanSketch(-42, {"open": "words", "snip": "alone", "down": "alone"}, grade="child-holds"),
        PlanSketch(
            -26, {"open": "alone", "snip": "alone", "down": "alone"}, turns=5, share=0.85, grade="paper"
        ),
    ),
    probes=baseline(-66, -63, -60, grade="card") + probes(-43, -27, -12, -2, grade="paper"),
    reviews=(
        ReviewSketch(-42, Decision.MOVE_ON, "Closing the blades stands. Opening them comes in."),
        ReviewSketch(-26, Decision.FADE_HELP, "Opens with a word, mostly alone. Alone from now on."),
        ReviewSketch(-12, Decision.HOLD, "Opens and snips alone in my probe. One more week on paper strips."),
        ReviewSketch(
            -2,
            Decision.REFER,
            "She cannot open the blades any more, and Mum sees it with her spoon too. Practice waits.",
            red_flags={"lost-skill": ""},
        ),
    ),
    precautions="Left-handed scissors, kept out of reach between turns.",
    stop_signs=("puts the scissors down", "shakes her head"),
)
