"""Person-hours of every step of a job, before they are split between its stages."""

from collections.abc import Sequence
from typing import NamedTuple

from crewplan.labour.factors import Rule, factor_on
from crewplan.model.job_rows import Job, Plane
from crewplan.model.takeoff import JobTakeOff, PlaneTakeOff
from crewplan.model.work_rows import Rate

DAY_PERSON_H = 3 * 8
"""Person-hours of a day on site, for the driver `days`: three people, eight hours. Assumed."""
EACH_STAGE = frozenset({"stage", "visit"})
"""Drivers that count once in each stage, however the job's work is split."""


class Effort(NamedTuple):
    """Hours of one step: what is split between stages, and what each stage has in full."""

    split_h: float
    each_h: float
    spread: float
    source: str

    def stage_h(self, share: float) -> float:
        """Person-hours of the step in a stage with that share of the job's work."""
        return self.split_h * share + self.each_h


def step_effort(
    rates: Sequence[Rate],
    rules: Sequence[Rule],
    job: Job,
    planes: Sequence[Plane],
    takeoff: JobTakeOff,
    days: float,
) -> Effort:
    """Sum over the step's rates of rate x driver x factors, with the spread of the sum.

    A factor about planes counts by each plane's part of the driver. Several rates of one step go
    wrong together, so that their spreads add up as hours do.
    """
    factors = [factor_on(rules, job, plane) for plane in planes]
    split_h = each_h = spread_h = 0.0
    for rate in rates:
        units = rate_units(rate, rules, factors, job, takeoff)
        hours = rate.hours_per_unit * units * (days if rate.driver == "days" else 1.0)
        spread_h += rate.spread * hours
        if rate.driver in EACH_STAGE:
            each_h += hours
        else:
            split_h += hours
    total = split_h + each_h
    return Effort(
        split_h,
        each_h,
        spread_h / total if total > 0 else 0.0,
        "; ".join(dict.fromkeys(rate.source for rate in rates if rate.source)),
    )


def rate_units(
    rate: Rate, rules: Sequence[Rule], factors: Sequence[float], job: Job, takeoff: JobTakeOff
) -> float:
    """What the rate's hours per unit are multiplied by: driver x factors, one day of `days`.

    `factors` has the step's factor on each plane.
    """
    amount = 1.0 if rate.driver == "days" else takeoff.drivers[rate.driver]
    if amount == 0:
        return 0.0
    weights = [_weight(rate.driver, plane) for plane in takeoff.planes]
    whole = sum(weights)
    if whole <= 0:
        return amount * factor_on(rules, job, None)
    return amount * sum(w * f for w, f in zip(weights, factors, strict=True)) / whole


def days_on_site(hours: float) -> float:
    """The driver `days`: planned person-hours but those that grow with days, at least one day."""
    return max(1.0, hours / DAY_PERSON_H)


def _weight(driver: str, plane: PlaneTakeOff) -> float:
    """A plane's part of a driver; modules stand for drivers of the whole job."""
    match driver:
        case "attachments":
            return plane.attachments
        case "rail_m":
            return plane.rail_mm
        case "rows":
            return len(plane.row_lengths_mm)
        case "planes":
            return 1
        case _:
            return plane.modules
