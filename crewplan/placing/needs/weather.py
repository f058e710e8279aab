"""Starts from which no number of half-days is likely enough to do: wind and rain, or no time."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.horizon import Horizon
from crewplan.model.open_hours import OpenHours
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing.fits import SHARE_ROUNDING, Fits
from crewplan.placing.removals import Removal
from crewplan.placing.walk import Floats, Ints


def forecast_from(
    hours: OpenHours, shift_hours: tuple[int, ...], exposed: int
) -> NDArray[np.bool_]:
    """By day of the horizon: whether any hour from that day on has weather to judge by.

    Args:
        hours: of the site.
        shift_hours: clock hours of each day, in order.
        exposed: 1 ground, 2 roof, 3 lift.
    """
    row = exposed - 1
    judged = hours.known[row] | hours.climatology | hours.good[row].any(axis=0)
    ends = np.cumsum(shift_hours)
    by_day = [bool(judged[end - n : end].any()) for n, end in zip(shift_hours, ends, strict=True)]
    return np.logical_or.accumulate(np.array(by_day, dtype=np.bool_)[::-1])[::-1]


def never_enough(
    found: Fits,
    if_calm: NDArray[np.bool_],
    starts: Ints,
    least: Floats,
    exposed: int,
    first_exposed: int,
    has_forecast: NDArray[np.bool_],
    horizon: Horizon,
    crew: str,
) -> list[Removal]:
    """Why starts (cells of the horizon) have no placement: weather if calm hours would do."""
    word = EXPOSURES[exposed - 1]
    by_text: dict[tuple[str, str], tuple[NDArray[np.bool_], float]] = {}
    for i in np.flatnonzero(found.last < 0):
        cell = int(starts[i])
        most = 0.0
        if not if_calm[i]:
            key = ("horizon", f"its half-days reach past {horizon.days[-1].isoformat()}")
        elif exposed > 1 and not has_forecast[cell // 2]:
            key = ("weather", f"{word}: no forecast")
        elif found.best_p_go[i] < least[i] - SHARE_ROUNDING:
            key = ("weather", f"{word}: P(go) at most {{most}}, {least[i]:.2f} needed")
            most = float(found.best_p_go[i])
        elif found.p_begin[i] < least[i] - SHARE_ROUNDING:
            begin = EXPOSURES[first_exposed - 1]
            text = f"{begin}: P(go) at most {{most}} on the first day, {least[i]:.2f} needed"
            key = ("weather", text)
            most = float(found.p_begin[i])
        else:
            key = ("weather", f"{word}: P(finish) at most {{most}}, {least[i]:.2f} needed")
            most = float(found.best_p_finish[i])
        mask, best = by_text.get(key, (np.zeros(len(horizon.cells), dtype=np.bool_), 0.0))
        mask[cell] = True
        by_text[key] = (mask, max(best, most))
    return [
        Removal("weather" if kind == "weather" else "horizon", text, mask, crew, best)
        for (kind, text), (mask, best) in by_text.items()
    ]
