"""What the stages of one plan share: crews by day, drives, time lines, levels; each made once."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import DaySpan, Job
from crewplan.model.open_hours import OpenHours
from crewplan.model.readiness import StageReadiness, Supply
from crewplan.placing.breaks import Break, breaks_of
from crewplan.placing.crew_days import CrewDays, crew_days
from crewplan.placing.levels import Levels, levels_of
from crewplan.placing.needs.allowed_days import customer_allows, half_days_begun
from crewplan.placing.needs.people import DayFault, usable_days
from crewplan.placing.needs.weather import forecast_from
from crewplan.placing.removals import Removal
from crewplan.placing.started import started_by
from crewplan.placing.timeline import DayShift, Timeline, shift_of_days, timeline
from crewplan.placing.travel import drive_h
from crewplan.readiness.first_visit import FirstVisit

Place = tuple[float, float, float]
"""A job's spot: latitude and longitude in degrees, and its wind factor."""
WeatherAt = Callable[[Sequence[datetime], Sequence[Place]], Sequence[OpenHours]]
"""Open hours of clock hours, one answer for each place."""


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """All that placing is told; nothing is read anywhere else."""

    branch: Branch
    horizon: Horizon
    hours: Mapping[str, StageHours]
    readiness: Mapping[str, StageReadiness]
    kits: Mapping[str, Mapping[str, float]]
    supply: Supply
    weather_at: WeatherAt
    now: datetime
    layout_problems: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """By job: rules that its arrays break."""
    stand_ins: Mapping[str, Sequence[tuple[Mapping[str, float], float]]] = field(
        default_factory=dict
    )
    """By stage: other kits that it can do with, each with how much dearer it is."""
    first_visits: Mapping[str, FirstVisit] = field(default_factory=dict)
    """By job: what the record says of its next inspection."""


@dataclass(slots=True, eq=False)
class Sites:
    """Looks things up once. A crew's time line is shared by crews of one pace and one drive."""

    known: Known
    today: date
    crews: tuple[CrewDays, ...]
    hour_starts: tuple[datetime, ...]
    shifts: tuple[DayShift, ...]
    started: Mapping[str, str]
    """By job: the crew that started it; empty where that has no price."""
    over: NDArray[np.bool_]
    """Half-days of the horizon whose working time has begun already."""
    _weather: Mapping[Place, OpenHours]
    _levels: dict[tuple[Place, int], Levels] = field(default_factory=dict)
    _lines: dict[tuple[object, ...], Timeline] = field(default_factory=dict)
    _breaks: dict[tuple[Place, int], tuple[Break, ...]] = field(default_factory=dict)
    _forecast_from: dict[tuple[Place, int], NDArray[np.bool_]] = field(default_factory=dict)
    _usable: dict[tuple[CrewDays, tuple[DaySpan, ...]], tuple[int, ...]] = field(
        default_factory=dict
    )

    lacking: dict[
        tuple[CrewDays, int, tuple[str, ...], tuple[str, ...]],
        tuple[tuple[DayFault, ...], tuple[Removal, ...]],
    ] = field(default_factory=dict)
    """By crew, people, certificates and equipment asked for; filled by `crew_needs`."""

    def drive_h(self, crew: CrewDays, job: Job) -> float:
        """Hours from the crew's base to the site."""
        base = crew.crew
        return drive_h(
            self.known.branch.settings,
            base.base_latitude,
            base.base_longitude,
            job.latitude,
            job.longitude,
        )

    def usable(self, crew: CrewDays, job: Job) -> tuple[int, ...]:
        """Days (indices) that the crew can spend on the job."""
        key = crew, job.customer_days
        if key not in self._usable:
            days = self.known.horizon.days
            allowed = [customer_allows(job.customer_days, day) for day in days]
            self._usable[key] = usable_days(crew, days, allowed)
        return self._usable[key]

    def line(self, crew: CrewDays, job: Job, one_way_h: float, overtime: bool = False) -> Timeline:
        """The crew's time at the site; the same object for crews that differ in nothing."""
        usable = self.usable(crew, job)
        key = (usable, one_way_h, overtime, crew.pace.tobytes(), crew.count.tobytes())
        if key not in self._lines:
            self._lines[key] = timeline(
                self.shifts, usable, crew.pace, crew.count, one_way_h, overtime
            )
        return self._lines[key]

    def weather(self, job: Job) -> OpenHours:
        """Open hours of all clock hours of the horizon at the site."""
        return self._weather[job.spot]

    def forecast_from(self, job: Job, most_exposed: int) -> NDArray[np.bool_]:
        """By day: whether any hour at the site from that day on has weather to judge by."""
        key = job.spot, most_exposed
        if key not in self._forecast_from:
            hours = tuple(shift.clock_hours for shift in self.shifts)
            self._forecast_from[key] = forecast_from(self.weather(job), hours, most_exposed)
        return self._forecast_from[key]

    def levels(self, job: Job, most_exposed: int) -> Levels:
        """Levels at the site for a stage that goes up to `most_exposed`."""
        key = (job.spot, most_exposed)
        if key not in self._levels:
            self._levels[key] = levels_of(self.weather(job), most_exposed)
        return self._levels[key]

    def open_by_day(self, job: Job, most_exposed: int) -> tuple[bytes, ...]:
        """By day: what stands for all that its hours have to do with levels, member by member."""
        hours = self.weather(job)
        ends = np.cumsum([shift.clock_hours for shift in self.shifts]).tolist()
        seen = hours.hopeful[:1] if most_exposed == 1 else hours.good[:most_exposed]
        begins = [0, *ends[:-1]]
        return tuple(seen[:, :, a:b].tobytes() for a, b in zip(begins, ends, strict=True))

    def breaks(self, job: Job, most_exposed: int) -> tuple[Break, ...]:
        """When a crew might leave such a stage at the site and come back; none if it may not."""
        if most_exposed == 1 or not self.known.branch.settings.open_jobs_max:
            return ()
        key = (job.spot, most_exposed)
        if key not in self._breaks:
            self._breaks[key] = breaks_of(self.levels(job, most_exposed), most_exposed, self.shifts)
        return self._breaks[key]

    def with_longer_days(self, job: Job, over_h: float) -> "Sites":
        """The job's site alone, as if everybody might work so many hours after each shift."""
        hour_starts, shifts = shift_of_days(
            self.known.branch.settings, self.known.horizon.days, over_h
        )
        weather = self.known.weather_at(hour_starts, (job.spot,))
        return replace(
            self,
            hour_starts=hour_starts,
            shifts=shifts,
            _weather={job.spot: weather[0]},
            _levels={},
            _lines={},
            _breaks={},
            _forecast_from={},
        )

    def with_shorter_days(self, over_h: float) -> "Sites":
        """The same hours and weather; no more than so many hours after each shift are worked."""
        shifts = tuple(shift.with_overtime(over_h) for shift in self.shifts)
        return replace(self, shifts=shifts, _lines={})

    def notes(self) -> tuple[str, ...]:
        """What the forecasts used make the plan say, each once."""
        said = (note for hours in self._weather.values() for note in hours.notes)
        return tuple(dict.fromkeys(said))


def sites(known: Known) -> Sites:
    """Lay out the horizon's hours and crews."""
    branch, days = known.branch, known.horizon.days
    hour_starts, shifts = shift_of_days(branch.settings, days, branch.settings.overtime_max_h)
    today = local_day(branch.settings, known.now)
    open_jobs = {stage.job for stage in branch.stages if not known.hours[stage.stage].done}
    places = list(dict.fromkeys(job.spot for job in branch.jobs if job.job in open_jobs))
    weather = dict(zip(places, known.weather_at(hour_starts, places), strict=True))
    return Sites(
        known=known,
        today=today,
        crews=tuple(crew_days(branch, crew, days) for crew in branch.crews),
        hour_starts=hour_starts,
        shifts=shifts,
        started=started_by(branch, today) if branch.settings.other_crew_cost else {},
        over=half_days_begun(branch.settings, known.horizon, known.now),
        _weather=weather,
    )
