"""By which day something must be asked for, so that it is likely there in time."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from crewplan.model.chance import whole_percent
from crewplan.readiness.chances import NO_RECORD
from crewplan.readiness.curves import Waits

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class AskBy:
    """The latest day on which to ask, or why none can be told."""

    by: date | None
    note: str = ""


def days_for_share(waits: Waits, share: float) -> int | None:
    """Least whole calendar days within which at least `share` of requests are over.

    None where the record does not reach that far.
    """
    curves = [waits.pool] if waits.own is None else [waits.own, waits.pool]
    steps = np.unique(np.concatenate([curve.days for curve in curves]))
    enough = np.flatnonzero(1.0 - waits.still_waiting(steps) >= share - _ROUNDING)
    return int(np.ceil(steps[enough[0]])) if enough.size else None


def ask_by(waits: Waits | None, wanted_on: date, share: float) -> AskBy:
    """The latest day on which a new request has a chance of `share` to be over by `wanted_on`."""
    if waits is None:
        return AskBy(None, NO_RECORD)
    lead = days_for_share(waits, share)
    if lead is None:
        return AskBy(None, f"the record does not reach {whole_percent(share)} %")
    return AskBy(wanted_on - timedelta(days=lead))
