"""Answers each question of the gate once: sites of one place, sun and need share their answer."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import Exposure
from crewplan.weather.alpha import within_alpha
from crewplan.weather.day_answer import DayAnswer, ShiftDay, day_answer
from crewplan.weather.forecast import Forecast, PlaceForecast
from crewplan.weather.grid import HOUR_S, denominator
from crewplan.weather.hour_blocks import NEVER_ISSUED_S
from crewplan.weather.hour_verdicts import Tallies, tallies
from crewplan.weather.judge import looks_back
from crewplan.weather.series import Series, series
from crewplan.weather.site import Site
from crewplan.weather.wording import Footing, sources, why

Clock = Literal["now", "set by hand"]


@dataclass(frozen=True, slots=True)
class _View:
    """What makes sites alike for one exposure: place, reach and the course of the sun."""

    place: int
    exposure: Exposure
    out_of_reach_km: float
    """0 in reach; else the distance, which the sentence names."""
    sun: bytes


@dataclass(frozen=True, slots=True)
class _Shared:
    answer: DayAnswer
    why: str
    void_after: datetime | None
    age_h: float | None
    alpha_hours: tuple[datetime, ...]


class Desk:
    """Holds what one call of the gate has worked out so far."""

    def __init__(
        self, branch: Branch, told: Forecast, starts: Sequence[datetime], now: datetime
    ) -> None:
        """`starts` are the hours that `told` was asked for, local."""
        self._settings, self._told, self._starts = branch.settings, told, starts
        self._tz = zone(branch.settings)
        self._now = now.astimezone(self._tz)
        self._members = denominator(branch)
        self._errors = branch.forecast_errors
        self._tallies: dict[tuple[int, Exposure], Tallies] = {}
        self._series: dict[_View, Series] = {}
        self._shared: dict[tuple[_View, int, float], _Shared] = {}
        self._gusts_of: dict[int, NDArray[np.float64]] = {}
        self._sources: dict[Exposure, tuple[str, ...]] = {}

    def verdict(
        self, at: int, site: Site, day: date, shift: ShiftDay, exposure: Exposure, clock: Clock
    ) -> DayVerdict:
        """One verdict; `at` is the site's number in the forecast."""
        told, needed_h = self._told, site.window_h(exposure)
        km = float(told.distance_km[at])
        in_reach = told.in_reach(at, exposure, self._settings.weather_reach_km)
        sun = told.sun.light[at].tobytes() + told.sun.frost[at].tobytes()
        view = _View(int(told.place_of[at]), exposure, 0.0 if in_reach else km, sun)
        key = (view, shift.first, needed_h)
        if key not in self._shared:
            self._shared[key] = self._share(at, view, shift, needed_h)
        shared = self._shared[key]
        if exposure not in self._sources:
            self._sources[exposure] = sources(told.limits, exposure, self._members, self._errors)
        return DayVerdict(
            day,
            exposure,
            site.job,
            site.stage,
            told.places[view.place].grid.place if in_reach else "",
            km if np.isfinite(km) else None,
            shared.answer.verdict,
            shared.why,
            needed_h,
            shared.answer.windows,
            shared.answer.hours,
            self._now,
            shared.void_after,
            shared.age_h,
            clock,
            (*self._sources[exposure], *_exposed(site)),
            shared.alpha_hours if in_reach else (),
        )

    def _series_of(self, at: int, view: _View) -> Series:
        if view not in self._series:
            told, least = self._told, self._settings.gate_probability
            judged = told.places[view.place].judged[view.exposure]
            of_place = (view.place, view.exposure)
            if of_place not in self._tallies:
                self._tallies[of_place] = tallies(judged, least)
            self._series[view] = series(
                judged,
                self._tallies[of_place],
                self._starts,
                told.sun.light[at],
                told.sun.frost[at],
                gusts_mps=self._gusts(view.place),
                least=least,
                in_reach=view.out_of_reach_km == 0.0,
            )
        return self._series[view]

    def _gusts(self, place: int) -> NDArray[np.float64]:
        """[H] forecast gust as told, the mean of the members; NaN where any is not known."""
        if place not in self._gusts_of:
            blocks, here = self._told.places[place].blocks, self._told.asked.back[0]
            known = blocks.full["gust"][:, here]
            told = np.where(known, blocks.worst["gust"][:, here], np.nan)
            self._gusts_of[place] = told.mean(axis=0)
        return self._gusts_of[place]

    def _share(self, at: int, view: _View, shift: ShiftDay, needed_h: float) -> _Shared:
        settings, place = self._settings, self._told.places[view.place]
        answer = day_answer(
            self._series_of(at, view),
            shift,
            self._tz,
            least=settings.gate_probability,
            needed_h=needed_h,
        )
        in_reach = view.out_of_reach_km == 0.0
        oldest_s = _oldest_s(self._told, place, view.exposure, answer.used) if in_reach else None
        age_h = None if oldest_s is None else (self._now.timestamp() - oldest_s) / HOUR_S
        footing = Footing(
            view.exposure,
            needed_h,
            view.out_of_reach_km,
            settings.weather_reach_km,
            place.judged[view.exposure].limited,
            age_h,
            settings.weather_max_age_h,
        )
        ahead = [answer.hours[one - shift.first] for one in answer.used] if shift.left else []
        return _Shared(
            answer,
            why(footing, answer, ahead),
            self._void_after(answer, oldest_s),
            age_h,
            self._alpha_hours(place, view.exposure, shift),
        )

    def _alpha_hours(
        self, place: PlaceForecast, exposure: Exposure, shift: ShiftDay
    ) -> tuple[datetime, ...]:
        here = self._told.asked.back[0, shift.first : shift.past]
        holds = within_alpha(place.judged[exposure], place.blocks, here)
        starts = self._starts[shift.first : shift.past]
        return tuple(start for start, inside in zip(starts, holds, strict=True) if inside)

    def _void_after(self, answer: DayAnswer, oldest_s: int | None) -> datetime | None:
        """The earlier of the oldest issue used growing too old and the end of the last window."""
        if oldest_s is None:
            return None
        until = oldest_s + self._settings.weather_max_age_h * HOUR_S
        if answer.windows:
            until = min(until, answer.windows[-1].end.timestamp())
        return datetime.fromtimestamp(until, UTC).astimezone(self._tz)


def _exposed(site: Site) -> tuple[str, ...]:
    """What an exposed site does to its wind, with who says so."""
    if site.wind_factor <= 1:
        return ()
    source = site.wind_factor_source.strip() or "no source given"
    return (f"wind at the site is taken as {site.wind_factor:g} times the forecast's: {source}",)


def _oldest_s(
    told: Forecast, place: PlaceForecast, exposure: Exposure, columns: Sequence[int]
) -> int | None:
    """Issue of the oldest row that these hours need, those looked back on included."""
    back = told.asked.back[: looks_back(place.judged[exposure]) + 1, list(columns)]
    oldest = int(place.blocks.oldest_s[back].min(initial=NEVER_ISSUED_S))
    return None if oldest == NEVER_ISSUED_S else oldest
