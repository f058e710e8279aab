"""Picks placements: one sparse problem, two engines, an independent checker, and reasons."""

from crewplan.scheduling.answers import why
from crewplan.scheduling.checker import check_plan
from crewplan.scheduling.comparing import compare
from crewplan.scheduling.engines import EngineChoice
from crewplan.scheduling.schedule import rule_of_thumb_plan, schedule
from crewplan.scheduling.stop import Stop

__all__ = [
    "EngineChoice",
    "Stop",
    "check_plan",
    "compare",
    "rule_of_thumb_plan",
    "schedule",
    "why",
]
