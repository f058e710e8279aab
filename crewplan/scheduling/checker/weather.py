"""A recount of the weather: members in which there are hours enough for the roof and the lift."""

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from crewplan.model.calendar import half_day_bounds, shift_hours
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
        pace = sum(person.pace for person in facts.at_work(placement, day))
        over_h = facts.branch.settings.overtime_max_h if placement.overtime_h > 0 else 0.0
        for hour in shift_hours(facts.branch.settings, day, over_h):
            length = hour.pm_h + hour.over_h if cell % 2 else hour.am_h
            if length > 0:
                found.append((hour.start, length * pace))
    return found


def _back(facts: Facts, placement: Placement) -> datetime:
    """When its second part begins; after all that is planned where it has none."""
    horizon, settings = facts.plan.horizon, facts.branch.settings
    if len(placement.parts) < 2:
        return shift_hours(settings, horizon.days[-1])[-1].start + timedelta(days=1)
    cell = placement.parts[1].cells[0]
    bounds = half_day_bounds(settings, horizon.day_of(cell))
    return bounds[cell % 2][0]


def _again_h(facts: Facts, placement: Placement, least: int) -> float:
    """Person-hours of set-up, as exposed as `least` (1 roof, 2 lift), after its break."""
    hours = facts.hours[placement.stage]
    exposed = EXPOSURES.index(hours.again_exposure) >= least
    return hours.again_p80_h if placement.parts and exposed else 0.0


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
        back = _back(facts, placement)
        before = np.array([start < back for start, _ in hours])
        could_h = np.array([work_h for _, work_h in hours])
        for least in (1, 2):
            work_h = sum(
                step.p50_h
                for step in facts.hours[placement.stage].steps
                if EXPOSURES.index(step.exposure) >= least
            )
            opened = at.good[: least + 1, :, columns].all(axis=0)
            again_h = _again_h(facts, placement, least)
            # a member that needs the second part sets up again in it
            in_one_part = opened @ (could_h * before) >= work_h - _DUST_H
            enough &= in_one_part | (opened @ could_h >= work_h + again_h - _DUST_H)
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
