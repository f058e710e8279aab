"""The price of first inspections that fail, recounted from the tables."""

from collections.abc import Iterator

from crewplan.model.calendar import local_day
from crewplan.model.placement import Placement
from crewplan.scheduling.checker.drives import way_by_itself_cents
from crewplan.scheduling.checker.facts import Facts

_PULL = 5.0
"""Of all authorities' record, in first inspections."""
_ROUNDED_CENTS = 2
"""The drives are rounded to whole cents before they are counted twice."""


def _record(facts: Facts) -> dict[str, tuple[str, bool, float | None]]:
    """First inspections by job, or by row where no job is named: authority, failed, hours."""
    today = local_day(facts.branch.settings, facts.now)
    found: dict[str, tuple[str, bool, float | None]] = {}
    rows = sorted(enumerate(facts.branch.inspections), key=lambda pair: pair[1].inspected_on)
    for number, row in rows:
        key = f"job {row.job}" if row.job else f"row {number}"
        if row.inspected_on <= today and key not in found:
            found[key] = (row.authority, not row.passed, row.return_h)
    return found


def _pulled(own: list[float], every: list[float]) -> float:
    return (sum(own) + _PULL * sum(every) / len(every)) / (len(own) + _PULL)


def _expected(facts: Facts, placement: Placement) -> float:
    """In the branch's currency."""
    branch, job = facts.branch, facts.job(placement)
    record = _record(facts)
    if not record or f"job {job.job}" in record:
        return 0.0
    failed = [(name, float(bad)) for name, bad, _ in record.values()]
    chance = _pulled(
        [bad for name, bad in failed if name == job.authority], [bad for _, bad in failed]
    )
    took = [(name, h) for name, bad, h in record.values() if bad and h is not None]
    if took:
        again_h = _pulled([h for name, h in took if name == job.authority], [h for _, h in took])
    else:
        steps = {step.step for step in branch.steps if step.kind == "return"}
        again_h = sum(
            rate.hours_per_unit
            for rate in branch.rates
            if rate.step in steps and rate.driver in ("stage", "visit")
        )
    days = facts.days(placement)
    there = [person for day in days for person in facts.at_work(placement, day)]
    mean = sum(person.cost_per_h for person in there) / len(there)
    work = (again_h + facts.hours[placement.stage].p50_h) * mean
    # whoever comes again shares no drive with today's other visit
    return chance * (work + 2 * way_by_itself_cents(facts, placement) / 100)


def failing_is_priced(facts: Facts) -> Iterator[str]:
    """An inspection carries what its failing would cost, by the record; nothing else does."""
    for placement in facts.known:
        told = placement.cost.get("failed inspection", 0)
        wanted = 0.0
        if facts.stages[placement.stage].kind == "inspection":
            wanted = _expected(facts, placement) * 100
        if abs(told - wanted) > _ROUNDED_CENTS:
            yield (
                f"price: {placement.stage} carries {told} cents for a failed inspection, "
                f"{wanted:.0f} by the record"
            )
