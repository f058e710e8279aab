"""Invented records of hours whose true rates are known: for tests and benchmarks of learning."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from builders import branch, job, package_rows, plane, stage

from crewplan.labour.posterior import CREW_SPREAD
from crewplan.labour.priors import RATE_UNCERTAINTY
from crewplan.labour.spread import STEPS_CORRELATION
from crewplan.labour.units import units_of
from crewplan.model.branch import Branch
from crewplan.model.people_rows import Crew, Person
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.work_rows import HoursWorked, Progress
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 4)
STAGES_OF_60 = {"roof": 30, "electrical": 20, "inspection": 4, "commissioning": 4, "return": 2}
PACES = (1.2, 1.0, 0.8)
DAY_H = 8.0


@dataclass(frozen=True)
class Invented:
    """A branch with its record, and what is true of it."""

    branch: Branch
    takeoffs: dict[str, JobTakeOff]
    true_rates: np.ndarray
    """Hours per unit, by row of rates."""
    true_paces: np.ndarray
    actual_h: np.ndarray
    """By stage: productive person-hours of the table's pace that all of its work takes."""
    unseen: frozenset[str]
    """Stages without a record, worked after all others."""


def roofs(draw, count):
    """Jobs of every covering, pitch, height and kind of electrical work."""
    jobs, planes = [], []
    for at in range(count):
        jobs.append(
            job(
                f"J{at}",
                storeys=int(draw.integers(1, 4)),
                electrical=str(draw.choice(["standard", "standard", "panel_upgrade", "battery"])),
                lift_method=str(draw.choice(["hoist", "boom", "conveyor", "ladder_hoist"])),
            )
        )
        planes += [
            plane(
                f"P{side}",
                job=f"J{at}",
                rows=tuple(int(n) for n in draw.integers(3, 9, int(draw.integers(1, 4)))),
                pitch_deg=float(draw.uniform(5, 40)),
                covering=str(draw.choice(["shingle", "shingle", "tile", "metal"])),
            )
            for side in range(int(draw.integers(1, 3)))
        ]
    return tuple(jobs), tuple(planes)


def residuals(draw, shape, freedom):
    """Standard normal, or Student's t of so many degrees of freedom at variance 1; rows share."""
    shape_all = (shape[0], shape[1] + 1)
    if freedom is None:
        drawn = draw.standard_normal(shape_all)
    else:
        drawn = draw.standard_t(freedom, shape_all) * ((freedom - 2) / freedom) ** 0.5
    common = STEPS_CORRELATION**0.5
    return common * drawn[:, :1] + (1 - common**2) ** 0.5 * drawn[:, 1:]


def invented(
    seed,
    *,
    counts=STAGES_OF_60,
    unseen_counts=(("roof", 30), ("electrical", 20)),
    crews=4,
    by_stage=0.25,
    unfinished=0.1,
    freedom=None,
    days=350,
):
    """Work of so many days up to today, each crew on one stage at a time.

    Truth is drawn from the prior, residuals as modelled.

    A share `by_stage` of the stages is told without steps; a share `unfinished` was left half
    done. `freedom`: residuals' logarithms are Student's t of so many degrees of freedom.
    """
    draw = np.random.default_rng(seed)
    seen = [(kind, at) for kind, many in counts.items() for at in range(many)]
    later = [(kind, at + counts.get(kind, 0)) for kind, many in unseen_counts for at in range(many)]
    jobs, planes = roofs(draw, max(at for _, at in seen + later) + 1)
    stages = tuple(stage(f"J{at}-{kind}", job=f"J{at}", kind=kind) for kind, at in seen + later)
    people = tuple(
        Person(f"P{crew}-{at}", f"C{crew}", "installer", 40.0, pace)
        for crew in range(crews)
        for at, pace in enumerate(PACES)
    )
    plain = branch(
        jobs=jobs,
        planes=planes,
        stages=stages,
        people=people,
        crews=tuple(Crew(f"C{crew}", 46.8, -92.1) for crew in range(crews)),
    )
    takeoffs = take_off_all(plain)
    units = units_of(plain, takeoffs)
    table = np.array([rate.hours_per_unit for rate in plain.rates])
    spread = np.array([rate.spread for rate in package_rows("rates")])
    rates = table * np.exp(draw.normal(0, np.log1p(RATE_UNCERTAINTY**2) ** 0.5, len(table)))
    paces = np.exp(draw.normal(0, np.log1p(CREW_SPREAD**2) ** 0.5, crews))
    medians = units.in_steps(units.by_stage(rates) * rates)
    noise = residuals(draw, medians.shape, freedom) * np.log1p(spread**2) ** 0.5
    work = medians * np.exp(noise)
    crew_of = draw.integers(0, crews, len(stages))
    table_h = work / paces[crew_of][:, None]
    hours: list[HoursWorked] = []
    progress: list[Progress] = []
    free = [TODAY - timedelta(days=days)] * crews
    rest = days * crews / len(seen) - 3
    for at in draw.permutation(len(seen)).tolist():
        row, day = stages[at], free[crew_of[at]]
        part = float(draw.uniform(0.3, 0.9)) if draw.random() < unfinished else 1.0
        told = draw.random() >= by_stage
        day = _enter(hours, row.stage, units.steps, table_h[at] * part, int(crew_of[at]), day, told)
        free[crew_of[at]] = day + timedelta(days=1 + max(0, int(draw.uniform(0, 2 * rest))))
        progress += [
            Progress(day, row.stage, step, part)
            for step, its in zip(units.steps, table_h[at], strict=True)
            if its > 0
        ]
    full = replace(plain, hours_worked=tuple(hours), progress=tuple(progress))
    return Invented(
        full,
        takeoffs,
        rates,
        paces,
        table_h.sum(axis=1),
        frozenset(row.stage for row in stages[len(seen) :]),
    )


def _enter(hours, name, steps, table_h, crew, day, told):
    """Each of the crew the same hours, a day of eight after the other; the last day."""
    left = DAY_H
    for step, its in zip(steps, table_h, strict=True):
        each = its / sum(PACES)
        while each > 1e-9:
            now = min(each, left)
            hours += [
                HoursWorked(day, name, f"P{crew}-{at}", now, step if told else "")
                for at in range(len(PACES))
            ]
            each, left = each - now, left - now
            if left <= 1e-9:
                day, left = day + timedelta(days=1), DAY_H
    hours.append(HoursWorked(day, name, f"P{crew}-0", 1.0, "", "weather"))
    return day
