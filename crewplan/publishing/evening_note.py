"""The evening note of one visit: when to lift, when to be down, standby, what would change it.

For a crew that reads a few lines the evening before. It tells nothing that the verdicts do not.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from crewplan.model.chance import whole_percent
from crewplan.model.hours import StageHours
from crewplan.model.next_early import NextEarly
from crewplan.model.settings import Settings
from crewplan.model.standby import Standby
from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.publishing.day_words import day_words
from crewplan.publishing.early_words import early_words, worth_asking
from crewplan.publishing.reader import decimal
from crewplan.publishing.screen_units import quantity
from crewplan.publishing.sentences import sentence
from crewplan.publishing.standby import standby_words
from crewplan.scheduling.standby import ground_steps

_HOUR = timedelta(hours=1)
_AT_LEAST = frozenset({"wet", "frost", "temperature_low"})
_NOT_BY_A_NUMBER: Mapping[str, str] = {
    "thunder": "no thunder in the hour and the one before it",
    "light": "daylight, which no forecast changes",
    "wet": "a longer time since the last rain",
    "film": "a roof that has dried",
    "": "a forecast",
}
"""What would have to come, by measure, where a value and its limit say too little."""

Line = Literal[
    "lift",
    "off the roof",
    "left open",
    "lent",
    "standby",
    "done early",
    "what would change it",
    "beside it",
    "care",
]


@dataclass(frozen=True, slots=True)
class Note:
    """What one crew is told of one visit."""

    day: date
    crew: str
    job: str
    stage: str
    """Job and stage empty: nothing is published for the crew, the weather is that of its base."""
    lines: tuple[tuple[Line, str], ...]
    void_after: datetime | None
    all_go: bool
    """Every exposure that the visit has work in is a go."""


def needed(hours: StageHours | None) -> tuple[Exposure, ...]:
    """Exposures that a stage still has work in; all where that is not known."""
    if hours is None or not hours.steps:
        return EXPOSURES
    have = {step.exposure for step in hours.steps}
    return tuple(one for one in EXPOSURES if one in have)


def evening_note(
    settings: Settings,
    crew: str,
    verdicts: Sequence[DayVerdict],
    hours: StageHours | None,
    standby: Standby | None = None,
    back_on: date | None = None,
    lent: Sequence[str] = (),
    early: NextEarly | None = None,
) -> Note:
    """The note of one visit, or of a crew without one.

    Args:
        settings: for units.
        crew: its name.
        verdicts: of one day and site, one an exposure.
        hours: what is left of the stage; None: no stage.
        standby: what was chosen ahead for the crew's visit on that day.
        back_on: where the crew leaves the stage open at the end of the day: when it is back.
        lent: a sentence each for people lent to the crew, or by it, on that day.
        early: what the crew may go on to when it is done with this visit early.
    """
    work = needed(hours)
    told = {one.exposure: one for one in verdicts if one.exposure in work}
    lines: list[tuple[Line, str]] = []
    if "lift" in told:
        lines.append(("lift", _windows(told["lift"])))
    if "roof" in told:
        lines.append(("off the roof", _off(told["roof"])))
    if back_on is not None:
        words = (
            f"This job is left open after today, back on {day_words(back_on)}: every penetration "
            "flashed and every module that is set clamped before you leave."
        )
        lines.append(("left open", words))
    lines += [("lent", words) for words in lent]
    lines.append(("standby", _standby(hours, told, standby)))
    if early is not None and worth_asking(early, told.values()):
        lines.append(("done early", early_words(early)))
    top = max(told.values(), key=lambda one: EXPOSURES.index(one.exposure))
    lines += [
        ("what would change it", text)
        for one in reversed(tuple(told.values()))
        if (text := _change(one, settings, top))
    ]
    if top.exposure != "ground":
        lines.append(("beside it", _alpha(top)))
    cautions = dict.fromkeys(
        text for one in told.values() for hour in one.hours for text in hour.cautions
    )
    lines += [("care", sentence(text)) for text in cautions]
    voids = [one.void_after for one in told.values() if one.void_after is not None]
    all_go = all(one.verdict == "go" for one in told.values())
    return Note(top.day, crew, top.job, top.stage, tuple(lines), min(voids, default=None), all_go)


def _windows(lift: DayVerdict) -> str:
    if not lift.windows:
        word = "unknown, so do not lift" if lift.verdict == "unknown" else "no lift"
        return sentence(f"{word}: {lift.why}")
    spans = (
        f"{one.start:%H:%M} to {one.end:%H:%M} ({whole_percent(one.p_go)}%)" for one in lift.windows
    )
    return f"Lift from {' and from '.join(spans)}, and not outside."


def _off(roof: DayVerdict) -> str:
    """When to be down: the end of each window, which has the time to make safe in it."""
    if not roof.windows:
        return "Nobody goes on the roof."
    ends = [f"{one.end:%H:%M}" for one in roof.windows]
    again = [f"{one.start:%H:%M}" for one in roof.windows[1:]]
    first = f"Not up before {roof.windows[0].start:%H:%M}; off the roof, made safe, by {ends[0]}"
    more = "".join(f"; up again from {a} to {b}" for a, b in zip(again, ends[1:], strict=True))
    return f"{first}{more}."


def _standby(
    hours: StageHours | None, told: Mapping[Exposure, DayVerdict], chosen: Standby | None
) -> str:
    if told.get("ground") is not None and told["ground"].verdict == "no-go":
        return "Not on the ground either: stay in shelter and ask the office."
    if chosen is not None and chosen.placement is not None:
        return f"If this does not go: {standby_words(chosen)}."
    steps = ground_steps(hours) if hours is not None else ()
    if not steps:
        return "No work on the ground is left here: ask the office for standby work."
    names = ", ".join(step.step.replace("_", " ") for step in steps)
    person_h = sum(step.p50_h for step in steps)
    when = "While the roof is shut, on the ground" if len(told) > 1 else "On the ground"
    return f"{when}: {names} (about {decimal(person_h, 1)} person-hours)."


def _change(verdict: DayVerdict, settings: Settings, top: DayVerdict) -> str:
    """For a no: the least that would have to give; for a go of the most exposed work: what stands
    nearest to its limit."""
    if verdict.verdict == "go":
        return _go_off(verdict, settings) if verdict is top else ""
    if verdict.verdict == "unknown":
        return f"{verdict.exposure.capitalize()}: a fresh and whole forecast; until then it is off."
    shut = [hour for hour in verdict.hours if hour.verdict == "no-go"]
    wishes = [_wish(hours, settings) for hours in _by_measure(shut)]
    return f"{verdict.exposure.capitalize()}: {'; and '.join(wishes)}." if wishes else ""


def _go_off(verdict: DayVerdict, settings: Settings) -> str:
    """What would end a go: the value nearest to its limit, and wind measured on site."""
    inside = [
        hour
        for hour in verdict.hours
        if any(w.start < hour.hour + _HOUR and hour.hour < w.end for w in verdict.windows)
    ]
    least = min(inside, key=lambda hour: hour.p_go)
    measured = (
        f"wind measured over its limit shuts it for {settings.reading_wait_h:g} h, and later hours "
        "with as much gust in the forecast"
    )
    work = verdict.exposure.capitalize()
    if least.value is None or least.limit is None or least.measure in _NOT_BY_A_NUMBER:
        return f"{work}: {measured}."
    value, limit = (quantity(one, least.unit, settings.units) for one in (least.value, least.limit))
    side = "under" if least.measure in _AT_LEAST else "over"
    nearest = f"{_name(least)} {side} {limit} (nearest: {value} at {least.hour:%H:%M})"
    return f"{work}: {nearest}; {measured}."


def _by_measure(hours: Sequence[HourVerdict]) -> list[list[HourVerdict]]:
    """Hours by the measure that shuts them, most hours first; the two that matter most."""
    found: dict[str, list[HourVerdict]] = {}
    for hour in hours:
        found.setdefault(hour.measure, []).append(hour)
    return sorted(found.values(), key=len, reverse=True)[:2]


def _wish(hours: Sequence[HourVerdict], settings: Settings) -> str:
    """What would have to come, at the hour that lacks least."""
    measure = hours[0].measure
    count = "1 hour" if len(hours) == 1 else f"{len(hours)} hours"
    if measure in _NOT_BY_A_NUMBER:
        return f"{_NOT_BY_A_NUMBER[measure]} ({count})"
    known = [hour for hour in hours if hour.value is not None and hour.limit is not None]
    if not known:
        return f"a forecast of {_name(hours[0])} ({count})"
    nearest = min(known, key=lambda hour: abs((hour.value or 0.0) - (hour.limit or 0.0)))
    value, limit = (
        quantity(one or 0.0, nearest.unit, settings.units) for one in (nearest.value, nearest.limit)
    )
    bound = "at least" if measure in _AT_LEAST else "at most"
    return f"{_name(nearest)} {bound} {limit} (at {nearest.hour:%H:%M} it is {value}; {count})"


def _name(hour: HourVerdict) -> str:
    return "mean wind" if hour.measure == "wind" else hour.measure.replace("_", " ")


def _alpha(verdict: DayVerdict) -> str:
    """The check of marine practice, which stands beside the verdict and opens nothing."""
    rule = "By the rule for work at sea (wind forecast a day ahead at most 0.80 of its limit),"
    if not verdict.alpha_hours:
        return f"{rule} wind allows no hour."
    runs: list[list[datetime]] = []
    for hour in verdict.alpha_hours:
        if runs and hour - runs[-1][-1] == _HOUR:
            runs[-1].append(hour)
        else:
            runs.append([hour])
    spans = " and ".join(f"{run[0]:%H:%M} to {run[-1] + _HOUR:%H:%M}" for run in runs)
    return f"{rule} wind allows {spans}."
