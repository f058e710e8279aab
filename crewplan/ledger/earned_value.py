"""Earned value by the usual formulas (EIA-748; BAC budget, PV planned value, EV earned, AC actual).

All four in one unit, person-hours or money. A figure that has no value says why.
"""

from crewplan.model.ledger import Figure, Undefined

NOTHING_WORKED = Undefined("no hours were worked")
NOTHING_PROMISED = Undefined("nothing was to be done by then")
NOTHING_EARNED = Undefined("nothing was earned yet, so the rest has no pace to go by")
BUDGET_SPENT = Undefined("the planned hours are used up")


def cost_index(earned: float, actual: float) -> Figure:
    """CPI = EV / AC; undefined where AC is 0."""
    return earned / actual if actual > 0 else NOTHING_WORKED


def schedule_index(earned: float, planned: float) -> Figure:
    """SPI = EV / PV; undefined where PV is 0."""
    return earned / planned if planned > 0 else NOTHING_PROMISED


def estimate_at_index(budget: float, earned: float, actual: float) -> Figure:
    """EAC = BAC / CPI."""
    index = cost_index(earned, actual)
    if isinstance(index, Undefined):
        return index
    return budget / index if index > 0 else NOTHING_EARNED


def estimate_as_planned(budget: float, earned: float, actual: float) -> float:
    """EAC = AC + (BAC - EV)."""
    return actual + (budget - earned)


def estimate_at_both(budget: float, earned: float, actual: float, schedule: Figure) -> Figure:
    """EAC = AC + (BAC - EV) / (CPI * SPI)."""
    index = cost_index(earned, actual)
    for one in (index, schedule):
        if isinstance(one, Undefined):
            return one
    assert isinstance(index, float)
    assert isinstance(schedule, float)
    pace = index * schedule
    return actual + (budget - earned) / pace if pace > 0 else NOTHING_EARNED


def to_complete_index(budget: float, earned: float, actual: float) -> Figure:
    """TCPI = (BAC - EV) / (BAC - AC); undefined where AC has reached BAC."""
    return (budget - earned) / (budget - actual) if actual < budget else BUDGET_SPENT
