"""What a crew gets done in a day: each hour as the observed weather allows."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import shift_hours
from crewplan.model.settings import Settings
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.placing.travel import drive_h
from crewplan.weather.grid import HOUR_S

Spot = tuple[float, float]
"""Latitude and longitude, degrees."""

What = Literal["work", "lost", "drive", "idle", "stood down"]
"""lost: on site, with work left of which none can be done in that hour; idle: nothing is left;
stood down: the crew was told the evening before not to come."""

LEAST_VISIT_H = 2.0
"""A crew that is done early drives on only if so much time would be left there. Assumed."""
_DUST_H = 1e-9


@dataclass(frozen=True, slots=True)
class Entry:
    """Part of an hour of a crew."""

    day: date
    start_s: int
    """Of the clock hour that it lies in, seconds since 1970-01-01 UTC."""
    crew: str
    what: What
    person_h: float
    stage: str = ""
    step: str = ""


@dataclass(slots=True)
class StepLeft:
    """What a step really takes, which nobody knows before."""

    step: str
    exposure: Exposure
    after: tuple[str, ...]
    whole_h: float
    """Person-hours of the table's pace."""
    left_h: float

    @property
    def done(self) -> bool:
        """Nothing is left."""
        return self.left_h <= _DUST_H


@dataclass(frozen=True, slots=True)
class Visit:
    """A stage that a crew is sent to."""

    stage: str
    spot: Spot
    steps: Sequence[StepLeft]
    """Changed as they are worked on."""
    until_noon: bool = False
    """The crew leaves at midday, done or not."""

    @property
    def done(self) -> bool:
        """All of its steps are."""
        return all(step.done for step in self.steps)


@dataclass(frozen=True, slots=True)
class Team:
    """A crew as it comes that day."""

    crew: str
    base: Spot
    people: int
    pace: float
    """Table hours done in an hour by all of them together."""


class _Hours:
    """The shift, used up from its beginning; `hold_h` at its end is kept for the drive home."""

    def __init__(self, settings: Settings, day: date, team: Team) -> None:
        self._settings, self._day, self._team = settings, day, team
        shift = shift_hours(settings, day)
        self._pieces = [[int(hour.start.timestamp()), hour.am_h + hour.pm_h] for hour in shift]
        self._pm_h = sum(hour.pm_h for hour in shift)
        self.hold_h = 0.0
        self.entries: list[Entry] = []

    @property
    def left_h(self) -> float:
        """Crew-hours before the drive home must begin."""
        return sum(length for _, length in self._pieces) - self.hold_h

    @property
    def before_noon_h(self) -> float:
        """Crew-hours before the drive back must begin so that the morning ends at the base."""
        return self.left_h - self._pm_h

    @property
    def now(self) -> tuple[int, float]:
        """The clock hour, and how much of it is left before the drive home."""
        self._pieces = [piece for piece in self._pieces if piece[1] > _DUST_H]
        start_s, length = self._pieces[0]
        return int(start_s), min(float(length), self.left_h)

    def spend(self, hours: float, what: What, stage: str = "", step: str = "") -> None:
        """So many crew-hours, or all that are left in the day."""
        for piece in self._pieces:
            used = min(hours, piece[1])
            if used > _DUST_H:
                piece[1] -= used
                hours -= used
                paid_h = used * self._team.people
                crew = self._team.crew
                self.entries.append(
                    Entry(self._day, int(piece[0]), crew, what, paid_h, stage, step)
                )


def _open_step(steps: Sequence[StepLeft], opened: Mapping[str, bool]) -> StepLeft | None:
    """The most exposed step that can be done in the hour: calm hours are for lifting."""
    left = {step.step for step in steps if not step.done}
    can = [
        step
        for step in steps
        if not step.done and opened[step.exposure] and left.isdisjoint(step.after)
    ]
    return max(can, key=lambda step: EXPOSURES.index(step.exposure), default=None)


def crew_day(
    settings: Settings,
    day: date,
    team: Team,
    visits: Sequence[Visit],
    opened: NDArray[np.bool_],
    first_s: int,
) -> list[Entry]:
    """Send a crew to its visits, one after the other; steps are worked off in place.

    Args:
        opened: [3, H] whether an hour was open for ground, roof and lift.
        first_s: start of its first hour; hours outside it were shut.
    """

    def at(start_s: int) -> dict[str, bool]:
        hour = (start_s - first_s) // HOUR_S
        inside = 0 <= hour < opened.shape[1]
        return {
            exposure: bool(inside and opened[row, hour]) for row, exposure in enumerate(EXPOSURES)
        }

    hours, here = _Hours(settings, day, team), team.base
    if not visits:
        hours.spend(hours.left_h, "stood down")
        return hours.entries
    for number, visit in enumerate(visits):
        if visit.done:
            continue
        out_h = drive_h(settings, *here, *visit.spot)
        back_h = drive_h(settings, *visit.spot, *team.base)
        time_left_h = hours.left_h + hours.hold_h - out_h - back_h
        if number and time_left_h < LEAST_VISIT_H:
            continue
        hours.spend(out_h, "drive", visit.stage)
        hours.hold_h, here = back_h, visit.spot
        _work(hours, team, visit, at)
    hours.spend(hours.left_h, "idle")
    hours.hold_h, last_h = 0.0, hours.hold_h
    hours.spend(last_h, "drive")
    return hours.entries


def _work(hours: _Hours, team: Team, visit: Visit, at: Callable[[int], Mapping[str, bool]]) -> None:
    while hours.left_h > _DUST_H and not visit.done:
        start_s, length_h = hours.now
        if visit.until_noon:
            if hours.before_noon_h <= _DUST_H:
                return
            length_h = min(length_h, hours.before_noon_h)
        step = _open_step(visit.steps, at(start_s))
        if step is None:
            hours.spend(length_h, "lost", visit.stage)
            continue
        used_h = min(length_h, step.left_h / team.pace)
        step.left_h = max(0.0, step.left_h - used_h * team.pace)
        hours.spend(used_h, "work", visit.stage, step.step)
