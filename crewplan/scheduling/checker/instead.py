"""Standby passes the same checks as the plan, on a day on which what was planned does not go."""

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date

from crewplan.model.plan import Planned
from crewplan.model.standby import Standby
from crewplan.scheduling.checker.facts import Facts
from crewplan.scheduling.checker.lent import lent_as_allowed
from crewplan.scheduling.checker.ready import likely_enough, nothing_lapsed, nothing_refused
from crewplan.scheduling.checker.scarce import (
    equipment_lasts,
    inspectors_last,
    own_equipment_serviced,
    stock_lasts,
)
from crewplan.scheduling.checker.weather import no_lift_in_no_go
from crewplan.scheduling.checker.when import (
    in_order,
    not_begun,
    notice_given,
    on_working_days,
    one_place_at_a_time,
)
from crewplan.scheduling.checker.who import certified, enough_people, led

Check = Callable[[Facts], Iterator[str]]

_ALONE: tuple[Check, ...] = (
    on_working_days,
    not_begun,
    notice_given,
    lent_as_allowed,
    led,
    enough_people,
    certified,
    nothing_refused,
    nothing_lapsed,
    likely_enough,
    own_equipment_serviced,
    no_lift_in_no_go,
)
_AS_PLANNED: tuple[Check, ...] = (in_order, equipment_lasts, inspectors_last, stock_lasts)
"""Beside all that is planned: what does not go today goes later, and draws its kit then."""


def _planned(one: Standby) -> Planned:
    assert one.placement is not None
    return Planned(one.placement, one.job, False, ())


def _crew_and_stage(facts: Facts, rows: tuple[Standby, ...]) -> Iterator[str]:
    crews = {p.stage: p.crew for p in facts.placed}
    ends = {p.stage: max(facts.days(p)) for p in facts.known}
    offered = {id(p) for p in facts.choices.placements}
    for one in rows:
        if crews.get(one.stage) != one.crew:
            yield f"standby: {one.stage} is not of crew {one.crew}"
        placement = one.placement
        if placement is None:
            continue
        if id(placement) not in offered or placement.crew != one.crew:
            yield f"standby: {placement.stage} was not offered to crew {one.crew}"
        if set(facts.days(placement)) != {one.day}:
            yield f"standby: {placement.stage} does not stay on {one.day}"
        if crews.get(placement.stage, one.crew) != one.crew:
            yield f"standby: {placement.stage} is already of crew {crews[placement.stage]}"
        for before in facts.stages[placement.stage].after:
            ended = ends.get(before)
            if ended == one.day:
                yield f"standby: {placement.stage} waits for {before}, which may stop that day too"
        if facts.stages[placement.stage].kind == "inspection":
            yield f"standby: {placement.stage} is an appointment with an inspector"
        if one.instead == "another stage" and facts.hours[placement.stage].exposed:
            yield f"standby: {placement.stage} has work on the roof"


def _on_site(facts: Facts, rows: tuple[Standby, ...]) -> Iterator[str]:
    for one in rows:
        steps = {step.step: step for step in facts.hours[one.stage].steps}
        for name in one.steps:
            step = steps.get(name)
            if step is None or step.exposure != "ground" or not set(step.after) <= set(one.steps):
                yield f"standby: {name} of {one.stage} is no work on the ground that is open"
        if one.hours > sum(steps[name].p50_h for name in one.steps if name in steps) + 1e-6 and (
            one.placement is None
        ):
            yield f"standby: {one.stage} has fewer hours on the ground than told"


def _one_day(facts: Facts, day: date, rows: list[Standby]) -> Iterator[str]:
    """A day on which all of that day's standby is done, and nothing of what it stands in for."""
    told = Counter(one.placement.stage for one in rows if one.placement is not None)
    for stage, times in told.items():
        if times > 1:
            yield f"standby twice: {stage} on {day}"
    instead = [_planned(one) for one in rows if one.placement is not None]
    stay = [p for p in facts.plan.planned if p.placement.stage not in told]
    stopped = {one.stage for one in rows if one.placement is not None}
    beside = facts.with_planned((*stay, *instead))
    going = facts.with_planned((*(p for p in stay if p.placement.stage not in stopped), *instead))
    known = set(facts.faults_of(_AS_PLANNED))
    yield from (
        f"standby: {fault}" for fault in beside.faults_of(_AS_PLANNED) if fault not in known
    )
    yield from (f"standby: {fault}" for fault in going.faults_of((one_place_at_a_time,)))


def standby_holds(facts: Facts) -> Iterator[str]:
    """Each standby could be done as it is told, all of one day together."""
    rows = facts.plan.standby
    if not rows:
        return
    yield from _crew_and_stage(facts, rows)
    yield from _on_site(facts, rows)
    placed = [one for one in rows if one.placement is not None]
    alone = facts.with_planned(tuple(_planned(one) for one in placed))
    yield from (f"standby: {fault}" for fault in alone.faults_of(_ALONE))
    for day in sorted({one.day for one in placed}):
        yield from _one_day(facts, day, [one for one in placed if one.day == day])
