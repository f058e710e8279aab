"""What a job's roof needs: counts, lengths and the drivers of its hours."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlaneTakeOff:
    """Counts of one roof plane."""

    plane: str
    modules: int
    row_lengths_mm: tuple[float, ...]
    attachment_spacing_mm: float
    attachments_per_rail: tuple[int, ...]
    """By row; two rails a row."""
    attachments: int
    rail_mm: float
    """Both rails of all rows together."""
    seats_mm: tuple[tuple[float, ...], ...] = ()
    """By row: attachments from the rail's left end, each on a rafter; empty: rafters unknown."""
    shift_mm: float = 0.0
    """How far the array was moved to the right of `array_left_mm`, within the tolerance."""
    notes: tuple[str, ...] = ()
    """What could not be done, such as a set-back that could not be checked."""
    problems: tuple[str, ...] = ()
    """Rules broken: plane, rule and shortfall in mm."""


@dataclass(frozen=True, slots=True)
class JobTakeOff:
    """Counts of a whole job.

    `items` has the take-off's own words (`TAKEOFF_ITEMS` of crewplan.takeoff) with pieces.
    `drivers` has what steps' hours grow with, by the words of `rates.driver`, for the whole job;
    `days` is not among them: labour works it out from the other hours.
    """

    job: str
    planes: tuple[PlaneTakeOff, ...]
    items: Mapping[str, int]
    drivers: Mapping[str, float]
    power_w: float
