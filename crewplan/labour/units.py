"""What the rates of all stages are multiplied by, as one table of numbers.

`stage_hours_all` gives one stage's hours for one table of rates; learning asks the same of other
rates many times, so the drivers and factors are kept and only multiplied anew.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.factors import factor_on, read_factors
from crewplan.labour.job_hours import DAY_PERSON_H, EACH_STAGE, rate_units
from crewplan.labour.shares import stage_shares
from crewplan.model.branch import Branch
from crewplan.model.job_rows import Plane, StageKind
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.work_rows import Rate

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Units:
    """Driver x factors of each rate, by stage, in the order of the branch's stages and rates."""

    steps: tuple[str, ...]
    """Names of steps that have a rate."""
    step_of: Ints
    """By rate: its step, into `steps`."""
    of_days: NDArray[np.bool_]
    """By rate: its driver is `days`."""
    each: NDArray[np.bool_]
    """By rate: counts in full in each stage, not by share."""
    group_of: Ints
    """By stage: the work of its kind of its job."""
    share: Array
    """By stage: its part of that work."""
    whole: Array
    """Groups x rates: units of the whole work; of `days` the units of one day."""

    def by_stage(self, hours_per_unit: Array) -> Array:
        """Stages x rates: units, with the days on site that work at these rates takes.

        Args:
            hours_per_unit: person-hours, by rate.
        """
        work_h = self.whole @ np.where(self.of_days, 0.0, hours_per_unit)
        days = np.maximum(1.0, work_h / DAY_PERSON_H)
        units = self.whole * np.where(self.of_days, days[:, None], 1.0)
        return units[self.group_of] * np.where(self.each, 1.0, self.share[:, None])

    def in_steps(self, by_rate: Array) -> Array:
        """Sum over the rates of a step: ... x rates in, ... x steps out."""
        to_step = np.zeros((len(self.step_of), len(self.steps)))
        to_step[np.arange(len(self.step_of)), self.step_of] = 1.0
        return by_rate @ to_step


def units_of(branch: Branch, takeoffs: Mapping[str, JobTakeOff]) -> Units:
    """Drivers and factors of every stage of a branch."""
    rates = branch.rates
    steps = tuple(dict.fromkeys(rate.step for rate in rates))
    step_at = {step: at for at, step in enumerate(steps)}
    groups: dict[tuple[str, StageKind], int] = {}
    for stage in branch.stages:
        groups.setdefault((stage.job, stage.kind), len(groups))
    shares = stage_shares(branch.stages)
    return Units(
        steps=steps,
        step_of=np.array([step_at[rate.step] for rate in rates], dtype=np.int64),
        of_days=np.array([rate.driver == "days" for rate in rates], dtype=np.bool_),
        each=np.array([rate.driver in EACH_STAGE for rate in rates], dtype=np.bool_),
        group_of=np.array([groups[row.job, row.kind] for row in branch.stages], dtype=np.int64),
        share=np.array([shares[row.stage] for row in branch.stages], dtype=np.float64),
        whole=_whole(branch, takeoffs, list(groups)),
    )


def _whole(
    branch: Branch, takeoffs: Mapping[str, JobTakeOff], groups: list[tuple[str, StageKind]]
) -> Array:
    rules = read_factors(branch.factors)
    jobs = {job.job: job for job in branch.jobs}
    planes: dict[str, list[Plane]] = {}
    for plane in branch.planes:
        planes.setdefault(plane.job, []).append(plane)
    kind_of = {step.step: step.kind for step in branch.steps}
    of_kind: dict[str, dict[str, list[tuple[int, Rate]]]] = {}
    for at, rate in enumerate(branch.rates):
        if rate.step in kind_of:
            in_kind = of_kind.setdefault(kind_of[rate.step], {})
            in_kind.setdefault(rate.step, []).append((at, rate))
    whole = np.zeros((len(groups), len(branch.rates)))
    for row, (job_name, kind) in enumerate(groups):
        job = jobs[job_name]
        for step, rates in of_kind.get(kind, {}).items():
            its = rules.get(step, ())
            factors = [factor_on(its, job, plane) for plane in planes.get(job_name, ())]
            for at, rate in rates:
                whole[row, at] = rate_units(rate, its, factors, job, takeoffs[job_name])
    return whole
