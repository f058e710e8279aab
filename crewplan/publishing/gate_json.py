"""Weather verdicts as the JSON of `crewplan gate --format json`."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from crewplan.model.verdict import DayVerdict, HourVerdict

_DIGITS = 6


def _time(instant: datetime | None) -> str | None:
    return None if instant is None else instant.isoformat()


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _DIGITS)


def _hour(hour: HourVerdict) -> dict[str, Any]:
    return {
        "hour": _time(hour.hour),
        "verdict": hour.verdict,
        "measure": hour.measure,
        "value": _rounded(hour.value),
        "limit": _rounded(hour.limit),
        "unit": hour.unit,
        "p_go": _rounded(hour.p_go),
        "cautions": list(hour.cautions),
        "gust_mps": _rounded(hour.gust_mps),
    }


def gate_json(verdicts: Iterable[DayVerdict]) -> list[dict[str, Any]]:
    """One object a verdict; times local with offset, values metric."""
    return [
        {
            "day": verdict.day.isoformat(),
            "exposure": verdict.exposure,
            "job": verdict.job,
            "stage": verdict.stage,
            "place": verdict.place,
            "place_distance_km": _rounded(verdict.place_distance_km),
            "verdict": verdict.verdict,
            "why": verdict.why,
            "window_needed_h": _rounded(verdict.window_needed_h),
            "windows": [
                {
                    "start": _time(window.start),
                    "end": _time(window.end),
                    "p_go": _rounded(window.p_go),
                }
                for window in verdict.windows
            ],
            "hours": [_hour(hour) for hour in verdict.hours],
            "asked_at": _time(verdict.asked_at),
            "void_after": _time(verdict.void_after),
            "age_h": _rounded(verdict.age_h),
            "clock": verdict.clock,
            "sources": list(verdict.sources),
            "alpha_hours": [_time(hour) for hour in verdict.alpha_hours],
        }
        for verdict in verdicts
    ]
