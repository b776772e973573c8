"""The invented caseload: a seeded simulator makes the practice, relative to the day it is loaded."""

from __future__ import annotations

from bylittle.demo.load import SEED, caseload
from bylittle.demo.values import CALL, SERVICE, TEAM, DemoChild

__all__ = ["CALL", "SEED", "SERVICE", "TEAM", "DemoChild", "caseload"]
