"""By which day a new job could be promised, as text, cells and JSON."""

from typing import Any

from crewplan.model.chance import whole_percent
from crewplan.model.promise import LikelyDays, NewJob, Promise
from crewplan.publishing.terminal import table_text

PROMISE_COLUMNS = (
    "stage",
    "labour_p50_h",
    "may_start_half_on",
    "may_start_likely_on",
    "done_half_on",
    "done_likely_on",
)
_TOLD_TO = 0.95
"""Weeks are told until the chance is so high."""
_NOT_WITHIN = "not known"


def _days(days: LikelyDays, unknown: str = "") -> tuple[str, str]:
    return (
        days.half_on.isoformat() if days.half_on else unknown,
        days.likely_on.isoformat() if days.likely_on else unknown,
    )


def promise_cells(promise: Promise, unknown: str = "") -> list[tuple[str, ...]]:
    """A row a stage and one for the job, in the order of `PROMISE_COLUMNS`."""
    rows: list[tuple[str, ...]] = [
        (
            one.kind,
            f"{one.labour_p50_h:.1f}",
            *_days(one.may_start, unknown),
            *_days(one.done, unknown),
        )
        for one in promise.stages
    ]
    hours = sum(one.labour_p50_h for one in promise.stages)
    start = promise.stages[0].may_start if promise.stages else LikelyDays(None, None)
    whole = f"{hours:.1f}" if promise.stages else ""
    return [*rows, ("whole job", whole, *_days(start, unknown), *_days(promise.done, unknown))]


def promise_json(new: NewJob, promise: Promise, seed: int, clock: str) -> dict[str, Any]:
    """One object; days are null where nothing is promised."""

    def days(one: LikelyDays) -> dict[str, str | None]:
        half, likely = _days(one)
        return {"half_on": half or None, "likely_on": likely or None}

    plane = new.planes[0]
    return {
        **days(promise.done),
        "job": {
            "modules": sum(sum(plane.rows) for plane in new.planes),
            "module": plane.module,
            "pitch_deg": plane.pitch_deg,
            "covering": plane.covering,
            "storeys": new.job.storeys,
            "electrical": new.job.electrical,
            "lift_method": new.job.lift_method,
            "authority": new.job.authority,
            "utility": new.job.utility,
            "latitude": new.job.latitude,
            "longitude": new.job.longitude,
            "in_hand": sorted(new.in_hand),
            "asked_on": new.asked_on.isoformat(),
        },
        "stages": [
            {
                "kind": one.kind,
                "labour_p50_h": one.labour_p50_h,
                "may_start": days(one.may_start),
                "done": days(one.done),
            }
            for one in promise.stages
        ],
        "by_week": [{"day": day.isoformat(), "p": p} for day, p in promise.by_week],
        "no_record": list(promise.no_record),
        "behind": {"stages": promise.behind_stages, "labour_p50_h": promise.behind_h},
        "draws": promise.draws,
        "seed": seed,
        "notes": list(promise.notes),
        "clock": clock,
    }


def _headline(promise: Promise) -> str:
    if promise.no_record:
        kinds = ", ".join(promise.no_record)
        return (
            f"No date: there is no record of {kinds}, and what is not known is not promised. Past "
            "requests in lead_times tell how long it takes; --in-hand says that nobody has to "
            "wait for it."
        )
    half, likely = promise.done.half_on, promise.done.likely_on
    if half is None:
        return "No date: as far as records and weather are known, it has less than a 50 % chance."
    if likely is None:
        return (
            f"Done by {half.isoformat()} with 50 % chance; as far as records and weather are known "
            "no day reaches 80 %, so there is no date to promise."
        )
    return (
        f"Done by {half.isoformat()} with 50 % chance, by {likely.isoformat()} with 80 %: that is "
        "the day to promise."
    )


def promise_text(new: NewJob, promise: Promise, mark: str) -> str:
    """The day to promise first, then what makes it, then what it rests on."""
    lines = [mark] if mark else []
    plane = new.planes[0]
    modules = sum(sum(one.rows) for one in new.planes)
    lines.append(
        f"{modules} modules ({plane.module}) at {plane.pitch_deg:g} degrees on {plane.covering}, "
        f"{new.job.authority}, all asked for on {new.asked_on.isoformat()}:"
    )
    lines.append(_headline(promise))
    if promise.stages:
        columns = ("stage", "hours", "may start, 50 %", "80 %", "done, 50 %", "80 %")
        lines.append(table_text(columns, promise_cells(promise, _NOT_WITHIN)))
    told = []
    for day, p in promise.by_week:
        if p > 0:
            told.append(f"{day.isoformat()} {whole_percent(p)}%")
        if p >= _TOLD_TO:
            break
    if told:
        lines.append(f"Chance that it is done by {', '.join(told)}.")
    lines.append(
        f"It stands behind {promise.behind_stages} open stages with {promise.behind_h:,.0f} "
        f"person-hours. {promise.draws} draws of lead times, hours and weather."
    )
    return "\n".join([*lines, *(f"Note: {note}." for note in promise.notes)])
