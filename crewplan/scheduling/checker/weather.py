"""A recount of the weather: members in which there are hours enough for the roof and the lift."""

from collections.abc import Iterator
from datetime import datetime

import numpy as np

from crewplan.model.calendar import shift_hours
from crewplan.model.placement import Placement
from crewplan.model.work_rows import EXPOSURES
from crewplan.scheduling.checker.facts import NEAR, Facts
from crewplan.weather import open_hours_all

_DUST_H = 1e-6


def _hours(facts: Facts, placement: Placement) -> list[tuple[datetime, float]]:
    """Clock hours of its half-days, and table person-hours that its people could work in each."""
    found: list[tuple[datetime, float]] = []
    for cell in placement.cells:
        day = facts.plan.horizon.day_of(cell)
        pace = sum(person.pace for person in facts.there(placement.crew, day))
        over_h = facts.branch.settings.overtime_max_h if placement.overtime_h > 0 else 0.0
        for hour in shift_hours(facts.branch.settings, day, over_h):
            length = hour.pm_h + hour.over_h if cell % 2 else hour.am_h
            if length > 0:
                found.append((hour.start, length * pace))
    return found


def no_lift_in_no_go(facts: Facts) -> Iterator[str]:
    """P(go) is no more than the share of members whose open hours could hold the exposed work.

    Drives and the order of steps are left aside: it can only be too kind, never too strict.
    """
    settings, horizon = facts.branch.settings, facts.plan.horizon
    exposed = [p for p in facts.known if facts.hours[p.stage].exposed]
    if not exposed:
        return
    starts = [
        hour.start
        for day in horizon.days
        for hour in shift_hours(settings, day, settings.overtime_max_h)
    ]
    index = {start: number for number, start in enumerate(starts)}
    sites = [facts.job(p).spot for p in exposed]
    weather = open_hours_all(facts.branch, starts, facts.now, sites, purpose="planning")
    for placement, at in zip(exposed, weather, strict=True):
        enough = np.ones(at.good.shape[1], dtype=np.bool_)
        hours = _hours(facts, placement)
        columns = [index[start] for start, _ in hours]
        could_h = np.array([work_h for _, work_h in hours])
        for least in (1, 2):
            work_h = sum(
                step.p50_h
                for step in facts.hours[placement.stage].steps
                if EXPOSURES.index(step.exposure) >= least
            )
            open_h = at.good[: least + 1, :, columns].all(axis=0) @ could_h
            enough &= open_h >= work_h - _DUST_H
        share = float(enough.mean())
        frozen = facts.first_day(placement) in horizon.frozen
        level = settings.gate_probability if frozen else settings.go_probability
        if placement.p_go > share + NEAR:
            yield (
                f"no-go lift: {placement.stage} claims {placement.p_go:.2f}, the hours are open "
                f"for it in {share:.2f} of the members"
            )
        if min(placement.p_go, placement.p_finish) < level - NEAR:
            yield f"no-go lift: {placement.stage} does not reach {level:.2f}"
        if placement.p_finish > placement.p_go + NEAR:
            yield f"no-go lift: {placement.stage} is likelier to finish than to go"
