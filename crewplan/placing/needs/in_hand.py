"""Requirements: likely enough by the start day, and all in hand for a start on a frozen day."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.chance import whole_percent
from crewplan.model.horizon import Horizon
from crewplan.model.readiness import NeedChance, StageReadiness
from crewplan.placing.removals import Removal

_ROUNDING = 1e-9


def _says(need: NeedChance, day: int, horizon: Horizon) -> str:
    stands = f"{need.kind}: {need.state}" + (f" ({need.note})" if need.note else "")
    if need.state != "asked":
        return stands
    return f"{stands}, {whole_percent(need.p[day])} % by {horizon.days[day].isoformat()}"


def _culprits(ready: StageReadiness, least: float, bad: np.ndarray, last: int) -> list[NeedChance]:
    """Requirements that alone keep it out on the last day that is lost, else all short of 1."""
    alone = [need for need in ready.states if need.p[last] < least - _ROUNDING]
    short = [need for need in ready.states if (need.p[bad] < 1.0).any()]
    return alone or short


def not_ready(ready: StageReadiness, horizon: Horizon, ready_probability: float) -> list[Removal]:
    """Starts on days by which the stage is not ready, one removal for each requirement at fault.

    Args:
        ready: chances over the days of the horizon.
        horizon: its frozen days take only what is granted for certain.
        ready_probability: least chance on the other days.
    """
    frozen = np.array([day in horizon.frozen for day in horizon.days], dtype=np.bool_)
    found: list[Removal] = []
    late = ~frozen & (ready.p < ready_probability - _ROUNDING)
    early = frozen & ~(ready.granted & (ready.p >= 1.0 - _ROUNDING))
    for bad, least in ((early, 1.0), (late, ready_probability)):
        if not bad.any():
            continue
        last = int(np.flatnonzero(bad)[-1])
        found += [
            Removal("readiness", _says(need, last, horizon), np.repeat(bad, 2))
            for need in _culprits(ready, least, bad, last)
        ]
    return found


def lapsing(
    ready: StageReadiness, horizon: Horizon, days: tuple[int, ...], starts: NDArray[np.bool_]
) -> list[Removal]:
    """Grants that are no longer good on a day (index) of a placement; `starts` marks its start."""
    return [
        Removal("readiness", _says(need, days[-1], horizon), starts)
        for need in ready.states
        if need.lapsed_by(horizon.days[days[-1]])
    ]
