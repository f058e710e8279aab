"""Requirements, by their rows and by their chances."""

from collections.abc import Iterator

from crewplan.readiness import needs, readiness
from crewplan.scheduling.checker.facts import NEAR, Facts


def _inspected(facts: Facts, job: str) -> bool:
    visits = [s for s in facts.branch.stages if s.job == job and s.kind == "inspection"]
    return bool(visits) and all(facts.hours[visit.stage].done for visit in visits)


def nothing_refused(facts: Facts) -> Iterator[str]:
    """What a stage needs is neither refused, nor open, nor without a row."""
    states = {(row.job, row.kind): row.state for row in facts.branch.requirements}
    for placement in facts.known:
        job = facts.stages[placement.stage].job
        for kind in needs(facts.branch, placement.stage):
            state = states.get((job, kind), "open")
            from_store = kind == "kit" and (job, kind) not in states
            passed = kind == "inspection_passed" and state == "open" and _inspected(facts, job)
            if state in ("refused", "open") and not from_store and not passed:
                yield f"{state}: {placement.stage} needs {kind}, which is {state}"


def nothing_lapsed(facts: Facts) -> Iterator[str]:
    """What was granted is good on each day of the work."""
    until = {
        (row.job, row.kind): row.expires_on
        for row in facts.branch.requirements
        if row.state == "granted" and row.expires_on is not None
    }
    for placement in facts.known:
        job = facts.stages[placement.stage].job
        for kind in needs(facts.branch, placement.stage):
            good_until = until.get((job, kind))
            last = max(facts.days(placement))
            if good_until is not None and good_until < last:
                yield f"lapsed: {placement.stage} needs {kind}, good until {good_until}, on {last}"


def likely_enough(facts: Facts) -> Iterator[str]:
    """The chance that all is in hand reaches the level of the day, and is not told higher."""
    horizon = facts.plan.horizon
    ready = readiness(facts.branch, facts.hours, horizon.days, facts.now)
    for placement in facts.known:
        found = ready[placement.stage]
        index = min(placement.cells) // 2
        chance = float(found.p[index])
        frozen = horizon.days[index] in horizon.frozen
        least = 1.0 if frozen else facts.branch.settings.ready_probability
        if chance < least - NEAR or (frozen and not found.granted[index]):
            yield f"not ready: {placement.stage} has {chance:.2f} on {horizon.days[index]}"
        if placement.p_ready > chance + NEAR or placement.granted > bool(found.granted[index]):
            yield f"not ready: {placement.stage} is said to be readier than it is"
    for planned in facts.plan.planned:
        if planned.firm and not planned.placement.granted:
            yield f"not firm: {planned.placement.stage} still waits for something"
