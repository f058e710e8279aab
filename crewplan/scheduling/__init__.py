"""Picks placements: one sparse problem, two engines, an independent checker, and reasons."""

from crewplan.scheduling.schedule import schedule
from crewplan.scheduling.stop import Stop

__all__ = ["Stop", "schedule"]
