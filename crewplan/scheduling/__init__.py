"""Picks placements: one sparse problem, two engines, an independent checker, and reasons."""

from crewplan.scheduling.answers import why
from crewplan.scheduling.checker import PlanRejected, check_plan, refuse_broken
from crewplan.scheduling.comparing import compare
from crewplan.scheduling.engines import EngineChoice
from crewplan.scheduling.schedule import rule_of_thumb_plan, schedule
from crewplan.scheduling.stop import Stop

__all__ = [
    "EngineChoice",
    "PlanRejected",
    "Stop",
    "check_plan",
    "compare",
    "refuse_broken",
    "rule_of_thumb_plan",
    "schedule",
    "why",
]
