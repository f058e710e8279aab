"""How often actual hours of finished stages stayed under their forecast's P50, P80 and P90."""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import pairwise

import numpy as np
from scipy.stats import binomtest

from crewplan.labour.learning import learn_with, learned_table
from crewplan.labour.priors import priors
from crewplan.labour.spread import Quantiles, combine
from crewplan.labour.units import Array, Ints, Units, units_of
from crewplan.labour.worked import Worked, worked
from crewplan.model.branch import Branch
from crewplan.model.learned import Calibration, Forecaster, Held, Holds, StageCase
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.work_rows import Rate

LEAST_CASES = 20
"""From fewer finished stages nothing is concluded. Assumed."""
CONFIDENCE = 0.9
_SPANS = 12
"""The record is cut into so many spans of as many stages each; each is forecast with the rates
learned up to the day before it, so that no stage is forecast from itself or from later ones."""
_QUANTILES = {0.5: "p50_h", 0.8: "p80_h", 0.9: "p90_h"}


def calibrate(branch: Branch, takeoffs: Mapping[str, JobTakeOff], today: date) -> Calibration:
    """Finished stages up to and with `today` against forecasts made of what was known before them.

    `table` forecasts by the rates as they stand in the table; stages that a learned row of it was
    learned from do not count there. `learned before` forecasts by what is learned from the hours
    before the stage's span, a twelfth of the finished stages. Roofs and shares are as the tables
    have them today.
    """
    units = units_of(branch, takeoffs)
    record = worked(branch, units, today)
    actual = np.bincount(record.stage, record.hours, len(branch.stages)).astype(np.float64)
    finished = record.finished & (actual > 0)
    order = np.flatnonzero(finished)
    order = order[np.argsort(record.first_day[order], kind="stable")]
    fixed = int(priors(branch.rates, today).until.max(initial=0))
    forecasts: dict[Forecaster, dict[int, Quantiles]] = {
        "table": quantiles(units, branch.rates, order[record.first_day[order] > fixed]),
        "learned before": _learned_before(branch, units, record, order),
    }
    return Calibration(
        as_of=today,
        held=tuple(
            _held(by, quantile, found, actual)
            for by, found in forecasts.items()
            for quantile in _QUANTILES
        ),
        cases=tuple(_case(branch, record, forecasts, actual, int(at)) for at in order),
        not_counted=int((record.all_done & (record.first_day > 0) & ~finished).sum()),
    )


def quantiles(units: Units, rates: Sequence[Rate], stages: Ints) -> dict[int, Quantiles]:
    """Whole hours of some stages by a table of rates, as `stage_hours_all` has them."""
    hours_per_unit = np.array([rate.hours_per_unit for rate in rates], dtype=np.float64)
    spread = np.array([rate.spread for rate in rates], dtype=np.float64)
    by_rate = units.by_stage(hours_per_unit)[stages] * hours_per_unit
    steps = units.in_steps(by_rate)
    spreads = np.divide(
        units.in_steps(by_rate * spread), steps, out=np.zeros_like(steps), where=steps > 0
    )
    return {
        int(at): combine(zip(hours.tolist(), wide.tolist(), strict=True))
        for at, hours, wide in zip(stages, steps, spreads, strict=True)
    }


def _learned_before(
    branch: Branch, units: Units, record: Worked, order: Ints
) -> dict[int, Quantiles]:
    """Each span's stages by what was learned up to the day before its first stage began."""
    cuts = np.unique(np.linspace(0, len(order), _SPANS + 1).round().astype(int))
    found: dict[int, Quantiles] = {}
    for start, stop in pairwise(cuts.tolist()):
        before = date.fromordinal(int(record.first_day[order[start]]) - 1)
        rates = learned_table(branch, learn_with(branch, units, before))
        found |= quantiles(units, rates, order[start:stop])
    return found


def _held(by: Forecaster, quantile: float, found: dict[int, Quantiles], actual: Array) -> Held:
    cases = len(found)
    under = sum(bool(actual[at] <= getattr(one, _QUANTILES[quantile])) for at, one in found.items())
    if cases == 0:
        return Held(by, quantile, 0, 0, 0.0, 1.0, "too few")
    interval = binomtest(under, cases).proportion_ci(CONFIDENCE, method="exact")
    low, high = float(interval.low), float(interval.high)
    return Held(by, quantile, cases, under, low, high, _verdict(quantile, cases, low, high))


def _verdict(quantile: float, cases: int, low: float, high: float) -> Holds:
    if cases < LEAST_CASES:
        return "too few"
    if high < quantile:
        return "too low"
    return "too high" if low > quantile else "agrees"


def _case(
    branch: Branch,
    record: Worked,
    forecasts: Mapping[Forecaster, Mapping[int, Quantiles]],
    actual: Array,
    at: int,
) -> StageCase:
    its = {by: found[at] for by, found in forecasts.items() if at in found}
    return StageCase(
        branch.stages[at].stage,
        date.fromordinal(int(record.first_day[at])),
        float(actual[at]),
        {by: one.p50_h for by, one in its.items()},
        {by: one.p80_h for by, one in its.items()},
        {by: one.p90_h for by, one in its.items()},
    )
