"""What next: challenge, patterns, decision and the reason as code and numbers."""

from __future__ import annotations

from bylittle.core.advice.adviser import Advice, advise
from bylittle.core.advice.decision import Context, Decided, decide
from bylittle.core.advice.facts import Facts, LowFidelity
from bylittle.core.advice.if_then import IfThen
from bylittle.core.advice.patterns import Pattern, PatternKind
from bylittle.core.advice.plan import Teaching, teaching
from bylittle.core.advice.skill_tracker import SkillTracker
from bylittle.core.advice.words import Decision, Every, Goal, Why

__all__ = [
    "Advice",
    "Context",
    "Decided",
    "Decision",
    "Every",
    "Facts",
    "Goal",
    "IfThen",
    "LowFidelity",
    "Pattern",
    "PatternKind",
    "SkillTracker",
    "Teaching",
    "Why",
    "advise",
    "decide",
    "teaching",
]
