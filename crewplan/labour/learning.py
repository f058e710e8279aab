"""Rates and crews' paces learned from the hours worked."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from crewplan.labour.evidence import Evidence
from crewplan.labour.far_off import BOUND, far_off, robust
from crewplan.labour.learned_source import LearnedSource, source_words
from crewplan.labour.posterior import CREW_SPREAD, Posterior, posterior
from crewplan.labour.priors import Priors, discount, log_variance, priors, spread_of
from crewplan.labour.units import Array, Ints, Units, units_of
from crewplan.labour.worked import Worked, worked
from crewplan.model.branch import Branch
from crewplan.model.learned import CrewPace, LearnedRate, LearnedRates, LeftOut
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.work_rows import Rate

Z95 = 1.6448536269514722
"""Standard normal quantile: nine of ten lie within so many deviations on both sides."""
_TRUST = 20.0
"""The table's spread counts as much as so many lines. Assumed."""
_MOST_SPREAD = 3.0
"""As the column `spread` allows."""


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """What one pass over the record gave, for the rates and crews that it saw."""

    rates: Ints
    """Places of the rates with data."""
    crews: Ints
    evidence: Evidence
    fit: Posterior
    left_out: tuple[LeftOut, ...]


def learn(branch: Branch, takeoffs: Mapping[str, JobTakeOff], today: date) -> LearnedRates:
    """What the record up to and with `today` says about the branch's rates.

    A step without data keeps its prior. Hours that a learned row of the table has in it already do
    not count again.
    """
    return learn_with(branch, units_of(branch, takeoffs), today)


def learn_with(branch: Branch, units: Units, today: date) -> LearnedRates:
    """`learn` with drivers and factors that are there already."""
    before = priors(branch.rates, today)
    record = worked(branch, units, today)
    found = _fit(branch, units, before, record, today)
    return LearnedRates(
        as_of=today,
        stages=0 if found is None else len(np.unique(found.evidence.stage)),
        rates=_rates(branch, before, found),
        crews=_crews(branch, found),
        left_out=record.left_out + (() if found is None else found.left_out),
        unused=record.unused,
    )


def learned_table(branch: Branch, learned: LearnedRates) -> tuple[Rate, ...]:
    """The table `rates` with what was learned; rows without data as they were."""
    return tuple(
        row
        if one.stages == 0
        else replace(
            row,
            hours_per_unit=one.learned,
            spread=min(one.spread, _MOST_SPREAD),
            source=source_words(LearnedSource(one.stages, learned.as_of, one.uncertainty)),
        )
        for row, one in zip(branch.rates, learned.rates, strict=True)
    )


def _fit(
    branch: Branch, units: Units, before: Priors, record: Worked, today: date
) -> _Found | None:
    """Lines judged, then the rest fitted; None where there is nothing to learn from."""
    gathered = _gather(units, before, record, before.hours_per_unit, today)
    if gathered is None:
        return None
    lines, rates, evidence = gathered
    theta_sd = before.theta_sd[rates]
    judge = robust(evidence, theta_sd)
    if units.of_days[rates].any():
        # days on site follow from the hours of all other steps: once more with the learned ones
        hours = before.hours_per_unit.copy()
        hours[rates] *= np.exp(judge.now[: len(rates)])
        again = _gather(units, before, record, hours, today)
        assert again is not None  # the same lines, with other days
        evidence = again[2]
        judge = robust(evidence, theta_sd, judge.now)
    off, expected, sd = far_off(evidence, theta_sd, judge)
    left_out = _named(branch, units, record, lines[off], expected[off], sd[off])
    good = evidence.where(~off)
    told = (good.prior_h > 0).any(axis=0)
    there = (good.crews > 0).any(axis=0)
    if not told.any():
        return None
    good = replace(
        good,
        prior_h=good.prior_h[:, told],
        steps=good.steps[told],
        spread=good.spread[told],
        crews=good.crews[:, there],
    )
    start = judge.now[np.concatenate([told, there])]
    crews = np.flatnonzero((record.crews[lines] > 0).any(axis=0))
    return _Found(
        rates[told], crews[there], good, posterior(good, theta_sd[told], None, start), left_out
    )


def _gather(
    units: Units, before: Priors, record: Worked, hours_for_days: Array, today: date
) -> tuple[Ints, Ints, Evidence] | None:
    """Lines that say something, the rates that they speak of, and what they say."""
    prior_h = units.by_stage(hours_for_days)[record.stage] * before.hours_per_unit
    prior_h *= record.done[record.stage][:, units.step_of]
    prior_h *= (record.step[:, None] < 0) | (record.step[:, None] == units.step_of)
    known_until = np.where(prior_h > 0, before.until, 0).max(axis=1, initial=0)
    kept = (record.first_day[record.stage] > known_until) & (prior_h > 0).any(axis=1)
    kept &= record.hours > 0
    lines = np.flatnonzero(kept)
    if len(lines) == 0:
        return None
    rates = np.flatnonzero((prior_h[lines] > 0).any(axis=0))
    crews = np.flatnonzero((record.crews[lines] > 0).any(axis=0))
    age = today.toordinal() - record.last_day[record.stage[lines]]
    evidence = Evidence(
        prior_h=prior_h[lines][:, rates],
        steps=units.step_of[rates],
        spread=before.spread[rates],
        log_h=np.log(record.hours[lines]),
        crews=record.crews[lines][:, crews],
        stage=record.stage[lines],
        weight=discount(age),
    )
    return lines, rates, evidence


def _named(
    branch: Branch, units: Units, record: Worked, lines: Ints, expected: Array, sd: Array
) -> tuple[LeftOut, ...]:
    return tuple(
        LeftOut(
            "far off",
            hours_h=float(record.hours[line]),
            high_h=float(np.exp(middle + BOUND * wide)),
            low_h=float(np.exp(middle - BOUND * wide)),
            expected_h=float(np.exp(middle)),
            stage=branch.stages[record.stage[line]].stage,
            step="" if record.step[line] < 0 else units.steps[record.step[line]],
        )
        for line, middle, wide in zip(lines, expected, sd, strict=True)
    )


def _scatter(evidence: Evidence, fit: Posterior) -> Array:
    """By rate: variance of the logarithm of its step's hours / the table's, shrunk to 1."""
    share = evidence.prior_h / evidence.prior_h.sum(axis=1)[:, None]
    same = (evidence.steps[:, None] == evidence.steps).astype(float)
    weight = evidence.weight[:, None] * (share @ same)
    owed = np.minimum(evidence.weight * (fit.doubt / fit.residual_sd) ** 2, 0.9)
    ratio = (fit.residual / fit.residual_sd) ** 2 / (1 - owed)
    return np.asarray((_TRUST + weight.T @ ratio) / (_TRUST + weight.sum(axis=0)))


def _rates(branch: Branch, before: Priors, found: _Found | None) -> tuple[LearnedRate, ...]:
    theta, sd = np.zeros(len(branch.rates)), before.theta_sd.copy()
    scatter, stages = np.ones(len(branch.rates)), [0] * len(branch.rates)
    if found is not None:
        seen, fit = found.rates, found.fit
        theta[seen], scatter[seen] = fit.theta, _scatter(found.evidence, fit)
        # hours that scatter more than the table says know less; they never know more
        from_data = np.maximum(fit.theta_sd**-2 - sd[seen] ** -2, 0) / np.maximum(scatter[seen], 1)
        for place, column in zip(seen.tolist(), found.evidence.prior_h.T, strict=True):
            stages[place] = len(np.unique(found.evidence.stage[column > 0]))
        sd[seen] = (from_data + sd[seen] ** -2) ** -0.5
    rows = []
    for at, row in enumerate(branch.rates):
        known = stages[at] > 0
        own = float(scatter[at]) * log_variance(float(before.spread[at]))
        rows.append(
            LearnedRate(
                step=row.step,
                driver=row.driver,
                prior=row.hours_per_unit,
                learned=row.hours_per_unit * float(np.exp(theta[at])),
                low=row.hours_per_unit * float(np.exp(theta[at] - Z95 * sd[at])),
                high=row.hours_per_unit * float(np.exp(theta[at] + Z95 * sd[at])),
                stages=stages[at],
                evidence=float(1 - (sd[at] / before.theta_sd[at]) ** 2),
                uncertainty=spread_of(float(sd[at] ** 2)),
                prior_spread=row.spread,
                spread=spread_of(own + float(sd[at] ** 2)) if known else row.spread,
                source=row.source,
            )
        )
    return tuple(rows)


def _crews(branch: Branch, found: _Found | None) -> tuple[CrewPace, ...]:
    known: dict[int, CrewPace] = {}
    if found is not None:
        for place, at in enumerate(found.crews):
            middle, sd = found.fit.log_pace[place], found.fit.log_pace_sd[place]
            known[int(at)] = CrewPace(
                crew=branch.crews[at].crew,
                pace=float(np.exp(middle)),
                low=float(np.exp(middle - Z95 * sd)),
                high=float(np.exp(middle + Z95 * sd)),
                stages=len(np.unique(found.evidence.stage[found.evidence.crews[:, place] > 0])),
            )
    return tuple(known.get(at, _unknown(row.crew)) for at, row in enumerate(branch.crews))


def _unknown(crew: str) -> CrewPace:
    sd = log_variance(CREW_SPREAD) ** 0.5
    return CrewPace(crew, 1.0, float(np.exp(-Z95 * sd)), float(np.exp(Z95 * sd)), 0)
