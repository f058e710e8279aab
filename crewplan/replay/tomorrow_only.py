"""One day ahead: crews to ready stages by assignment, over all members of the forecast."""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from crewplan.model.hours import StageHours
from crewplan.model.people_rows import Crew
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing.price import Promise, day_of_delay
from crewplan.placing.travel import drive_h
from crewplan.replay.by_hand import NEXT_UP, ready_stages
from crewplan.replay.hours_ahead import open_h
from crewplan.replay.morning import Morning, Orders

Floats = NDArray[np.float64]


def _expected(hours: StageHours, pace: float, ahead_h: Floats) -> tuple[float, float]:
    """Crew-hours worked and lost tomorrow, means over members; the order of steps left aside.

    `ahead_h` is [3, M]: hours open for ground, roof and lift; lifting comes first while it can.
    """
    left = dict.fromkeys(EXPOSURES, 0.0)
    for step in hours.steps:
        left[step.exposure] += step.p50_h / pace
    done = np.zeros(ahead_h.shape[1])
    for row in reversed(range(len(EXPOSURES))):
        done += np.minimum(left[EXPOSURES[row]], np.maximum(ahead_h[row] - done, 0.0))
    there = np.minimum(ahead_h[0].max(initial=0.0), sum(left.values()))
    return float(done.mean()), float(np.maximum(there - done, 0.0).mean())


def _worth(morning: Morning, crew: Crew, stages: list[str], ahead_h: Floats) -> list[float]:
    """Money by stage: work done and delay saved, less hours lost and driven."""
    branch, today = morning.branch, morning.day
    people = [person for person in branch.people if person.crew == crew.crew]
    pace = sum(person.pace for person in people)
    wage = sum(person.cost_per_h for person in people)
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}
    open_stages = dict.fromkeys(jobs, 0)
    for stage in branch.stages:
        open_stages[stage.job] += not morning.hours[stage.stage].done
    found = []
    for stage_name in stages:
        job, hours = job_of[stage_name], morning.hours[stage_name]
        worked_h, lost_h = _expected(hours, pace, ahead_h)
        base = (crew.base_latitude, crew.base_longitude)
        drives_h = 2 * drive_h(branch.settings, *base, job.latitude, job.longitude)
        promise = Promise(today, job.due_on, job.priority, open_stages[job.job])
        share = min(1.0, worked_h * pace / max(hours.p50_h, worked_h * pace, 1e-9))
        saved = share * day_of_delay(promise, today)
        goes_on = 1.0 if morning.begun_by.get(stage_name) == crew.crew else 0.0
        found.append(wage * (worked_h - lost_h - drives_h + goes_on) + saved)
    return found


def tomorrow_only(morning: Morning) -> Orders:
    """Each crew gets the stage that is worth most together; what is worth nothing is left."""
    ready = [stage.stage for stage in ready_stages(morning)]
    crews = morning.branch.crews
    if not ready:
        return Orders({crew.crew: () for crew in crews})
    ahead_h = open_h(morning)
    worth = np.array([_worth(morning, crew, ready, ahead_h) for crew in crews])
    hands: dict[str, list[str]] = {crew.crew: [] for crew in crews}
    left = np.ones(len(ready), dtype=np.bool_)
    for turn in range(1 + NEXT_UP):
        columns = np.flatnonzero(left)
        if not len(columns):
            break
        rows, picked = linear_sum_assignment(-worth[:, columns])
        for row, at in zip(rows, picked, strict=True):
            column = int(columns[at])
            goes = worth[row, column] > 0 and len(hands[crews[row].crew]) == turn
            if goes:
                hands[crews[row].crew].append(ready[column])
                left[column] = False
    return Orders({crew: tuple(hand) for crew, hand in hands.items()})
