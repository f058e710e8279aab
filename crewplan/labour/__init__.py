"""Drivers and rates in; person-hours with spread out."""

from crewplan.labour.shares import stage_shares
from crewplan.labour.spread import combine
from crewplan.labour.stage_hours import latest_progress, stage_hours_all

__all__ = ["combine", "latest_progress", "stage_hours_all", "stage_shares"]
