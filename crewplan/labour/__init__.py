"""Drivers and rates in, person-hours with spread out; hours worked in, learned rates out."""

from crewplan.labour.calibration import calibrate
from crewplan.labour.learning import learn, learned_table
from crewplan.labour.shares import stage_shares
from crewplan.labour.spread import combine
from crewplan.labour.stage_hours import latest_progress, stage_hours_all

__all__ = [
    "calibrate",
    "combine",
    "latest_progress",
    "learn",
    "learned_table",
    "stage_hours_all",
    "stage_shares",
]
