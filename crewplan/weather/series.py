"""All hours of one exposure under one place's forecast and one course of the sun."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.verdict import HourVerdict
from crewplan.weather.hour_verdicts import Tallies, caution_texts, decisive, words
from crewplan.weather.judge import Judged
from crewplan.weather.site_hours import site_hours
from crewplan.weather.windows import row_bits


@dataclass(frozen=True, slots=True)
class Series:
    """H hours with their words, and the rows in which each is good, as bits."""

    hours: tuple[HourVerdict, ...]
    good: tuple[int, ...]
    hopeful: tuple[int, ...]
    rows: int


def _known(value: float) -> float | None:
    return None if math.isnan(value) else value


def series(
    judged: Judged,
    counted: Tallies,
    starts: Sequence[datetime],
    light: NDArray[np.bool_],
    frost: NDArray[np.bool_],
    *,
    gusts_mps: NDArray[np.float64],
    least: float,
    in_reach: bool,
) -> Series:
    """Judges each hour; `starts` are local, `light`, `frost` and `gusts_mps` (NaN: not known) [H],
    `least` the share asked."""
    site = site_hours(judged, light, frost, in_reach=in_reach)
    share = site.good.mean(axis=0).tolist()
    named = words(site, least)
    lit, cold, gusts = light.tolist(), frost.tolist(), gusts_mps.tolist()
    hours = []
    for at, start in enumerate(starts):
        by = decisive(counted, named[at], at, light=lit[at], frost=cold[at], in_reach=in_reach)
        texts = caution_texts(counted, at, least, light=lit[at], frost=cold[at]) if in_reach else ()
        hours.append(
            HourVerdict(
                start,
                named[at],
                by.measure,
                by.value,
                by.limit,
                by.unit,
                share[at],
                texts,
                _known(gusts[at]) if in_reach else None,
            )
        )
    return Series(
        tuple(hours), tuple(row_bits(site.good)), tuple(row_bits(site.hopeful)), len(site.good)
    )
