"""All placements of one stage with one crew, and what took the other starts away."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from crewplan.model.job_rows import StageKind
from crewplan.model.placement import Placement, days_of
from crewplan.placing.blocks import first_exposure
from crewplan.placing.crew_days import CrewDays, days_cost, lead_of, people_of
from crewplan.placing.crew_needs import crew_lacks
from crewplan.placing.fit_line import Fitted
from crewplan.placing.needs.equipment import borrowed
from crewplan.placing.needs.in_hand import lapsing
from crewplan.placing.needs.people import DayFault, faults_on, people_needed
from crewplan.placing.needs.weather import never_enough
from crewplan.placing.price import Visit, failing_cost, open_cost, price
from crewplan.placing.removals import Removal
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts
from crewplan.placing.timeline import ROUNDING_H, Timeline
from crewplan.placing.walk import Floats, Ints
from crewplan.placing.worst_weathers import above_mean

SHORT_KINDS: frozenset[StageKind] = frozenset({"inspection", "commissioning", "return"})
"""Kinds of stage that may share a half-day."""
SHORT_H = 2.0
"""'An hour or two' on site, of the whole crew."""


class CrewChoices:
    """Placements of one stage with one crew."""

    def __init__(self, site: Sites, facts: StageFacts, crew: CrewDays) -> None:
        """Look up what the crew brings to the stage."""
        self.site, self.facts, self.crew = site, facts, crew
        self.horizon = site.known.horizon
        self.one_way_h = site.drive_h(crew, facts.job)
        self.line = site.line(crew, facts.job, self.one_way_h)
        settings = site.known.branch.settings
        self.overtime = settings.overtime_max_h > 0
        """Whether anybody may work after the shift."""
        self.late_line = (
            site.line(crew, facts.job, self.one_way_h, overtime=True)
            if self.overtime
            else self.line
        )
        self.borrowed = borrowed(facts.stage, crew.crew)
        self.needed = people_needed(facts.stage, facts.hours)
        self.again_cost = self._again_cost()
        self.weight_of_worst = settings.worst_weather_weight
        per_day = {row.equipment: row.cost_per_day for row in site.known.branch.equipment}
        self.borrowed_cost_per_day = sum(per_day.get(name, 0.0) for name in self.borrowed)
        self.removals: list[Removal] = []
        self.placements: list[Placement] = []
        self.walked: dict[bool, Fitted] = {}
        """Fits along the line (False) and the one with overtime (True), for the next look."""

    def mask(self, cells: Sequence[int] = ()) -> NDArray[np.bool_]:
        """Half-days of the horizon: those named."""
        mask = np.zeros(len(self.horizon.cells), dtype=np.bool_)
        mask[list(cells)] = True
        return mask

    def _no_time(self) -> list[Removal]:
        """Starts in whose day or half-day the drives do not fit, the longest day being worked."""
        text = f"the drives of {self.one_way_h:.1f} h leave crew {{crews}} no time on site"
        line = self.late_line
        if not line.cells:
            usable = self.site.usable(self.crew, self.facts.job)
            every = self.mask([cell for day in usable for cell in (2 * day, 2 * day + 1)])
            return [Removal("capacity", text, every, self.crew.name)]
        short = [c for c, may in zip(line.cells, line.may_start, strict=True) if not may]
        return [Removal("capacity", text, self.mask(short), self.crew.name)]

    def admissible(self) -> tuple[list[DayFault], NDArray[np.bool_]]:
        """The crew's faults by day, and starts that neither stage nor crew takes away."""
        faults, taken = crew_lacks(self.site, self.facts, self.crew)
        self.removals += taken
        self.removals += self._no_time()
        good = self.facts.open & self.mask(self.late_line.cells)
        for removal in self.removals:
            good &= ~removal.starts
        return faults, good

    def fill(
        self,
        fitted: Fitted,
        faults: list[DayFault],
        good: NDArray[np.bool_],
        of_use: Callable[[tuple[int, ...], tuple[int, ...]], bool] | None = None,
        known: Mapping[int, Placement] | None = None,
    ) -> None:
        """Turn fits into placements; what breaks a need on a later day goes to the removals.

        `of_use` is asked first, where it is given, whether a placement on these half-days (of these
        days, by index) is wanted at all. `known` has by start placements of the last look that are
        the same now.
        """
        again = known or {}
        cells = np.array(self.line.cells, dtype=np.int64)
        starts = cells[fitted.position]
        mine = np.flatnonzero(good[starts])
        self.explain(fitted, self.line, good)
        first, last = fitted.position[mine].tolist(), fitted.found.last[mine].tolist()
        for i, begin, end in zip(mine.tolist(), first, last, strict=True):
            if end < 0:
                continue
            own = self.line.cells[begin : end + 1]
            days = days_of(own)
            if of_use is not None and not of_use(own, days):
                continue
            broken = self.broken_by(faults, own, days)
            if broken:
                self.removals += broken
            else:
                self.placements.append(again.get(own[0]) or self.placement(own, days, fitted, i))

    def broken_by(
        self, faults: list[DayFault], own: tuple[int, ...], days: tuple[int, ...]
    ) -> list[Removal]:
        """Needs that a placement on these half-days (of these days, by index) breaks."""
        start = self.mask(own[:1])
        broken = faults_on(faults, self.crew, days, start)
        return broken + lapsing(self.facts.ready, self.horizon, days, start)

    def explain(self, fitted: Fitted, line: Timeline, good: NDArray[np.bool_]) -> None:
        """Why the good starts along a line from which no half-days are enough have no placement."""
        if fitted.if_calm is None:
            return
        starts = np.array(line.cells, dtype=np.int64)[fitted.position]
        for removal in never_enough(
            fitted.found,
            fitted.if_calm,
            starts,
            self.facts.least[starts],
            self.facts.exposed,
            first_exposure(self.facts.blocks),
            self.site.forecast_from(self.facts.job, self.facts.exposed),
            self.horizon,
            self.crew.name,
        ):
            if (removal.starts & good).any():
                self.removals.append(
                    Removal(
                        removal.kind,
                        removal.text,
                        removal.starts & good,
                        removal.crew,
                        removal.most,
                    )
                )

    def placement(
        self,
        own: tuple[int, ...],
        days: tuple[int, ...],
        fitted: Fitted,
        i: int,
        overtime_h: float = 0.0,
    ) -> Placement:
        """On these half-days (of these days), by fit `i`, with its price."""
        facts, found = self.facts, fitted.found
        sure = facts.exposed == 1
        p_finish = 1.0 if sure else float(found.p_finish[i])
        lost_h, p_ready = round(float(found.lost_h[i]), 6), float(facts.ready.p[days[0]])
        visit = self.visit(own, days, lost_h, p_finish, p_ready)
        if overtime_h:
            an_hour = visit.cost_per_person_h * self.site.known.branch.settings.overtime_factor
            visit = replace(visit, overtime_cost=overtime_h * an_hour)
        if self.weight_of_worst > 0:
            found_in = found.lost_in[:, i], found.undone_in[:, i] * (not sure)
            visit = self.in_worst_weathers(visit, *found_in, fitted.weight)
        made = self.as_placement(own, days, visit, 1.0 if sure else float(found.p_go[i]))
        return replace(made, overtime_h=overtime_h, short_h=None) if overtime_h else made

    def as_placement(
        self,
        own: tuple[int, ...],
        days: tuple[int, ...],
        visit: Visit,
        p_go: float,
        again_h: float = 0.0,
    ) -> Placement:
        """The placement of a visit on its half-days (and days, by index), at its price."""
        facts = self.facts
        return Placement(
            stage=facts.stage.stage,
            crew=self.crew.name,
            cells=own,
            people=people_of(self.crew, days),
            lead=lead_of(self.crew, days),
            labour_p50_h=facts.hours.p50_h + again_h,
            labour_p80_h=facts.hours.p80_h + again_h,
            lost_h=visit.lost_h,
            p_go=p_go,
            p_ready=visit.p_ready,
            p_finish=visit.p_finish,
            granted=bool(facts.ready.granted[days[0]]),
            cost=price(visit, facts.promise, facts.published),
            short_h=self._short_h(own),
            p_fail=0.0 if facts.first_visit is None else facts.first_visit.p_fail,
        )

    def visit(
        self,
        own: tuple[int, ...],
        days: tuple[int, ...],
        lost_h: float,
        p_finish: float,
        p_ready: float,
    ) -> Visit:
        """What the crew takes and risks there; `days` by index, hours of persons."""
        cost, people = days_cost(self.crew, days)
        travel_cost = 2 * self.one_way_h * cost
        first = self.facts.first_visit
        return Visit(
            crew=self.crew.name,
            start_on=self.horizon.day_of(own[0]),
            start_half=self.horizon.half_of(own[0]),
            end_on=self.horizon.day_of(own[-1]),
            travel_cost=travel_cost,
            lost_h=lost_h,
            cost_per_person_h=cost / people,
            again_cost=self.again_cost,
            p_finish=p_finish,
            p_ready=p_ready,
            equipment_cost=len(days) * self.borrowed_cost_per_day,
            open_cost=open_cost(self.site.known.branch.settings, own[0])
            if self.facts.hours.begun
            else 0.0,
            other_crew_cost=self.site.known.branch.settings.other_crew_cost
            if self.facts.started_by not in ("", self.crew.name)
            else 0.0,
            failing_cost=0.0
            if first is None
            else failing_cost(
                first.p_fail,
                first.return_h,
                self.facts.hours.p50_h,
                cost / people,
                travel_cost,
            ),
        )

    def in_worst_weathers(
        self, visit: Visit, lost_in: Floats, undone_in: Floats, weight: Ints
    ) -> Visit:
        """With what lost hours and coming again cost more in the worst weathers than else."""
        loss = lost_in * visit.cost_per_person_h + undone_in * self.again_cost
        return replace(visit, worst_weathers=self.weight_of_worst * above_mean(loss, weight))

    def _again_cost(self) -> float:
        """One more drive and half-day of the whole crew, at its dearest day."""
        half_h = max((max(s.am_h, s.pm_h) for s in self.site.shifts), default=0.0)
        dearest = float(self.crew.cost_per_h.max(initial=0.0))
        return (2 * self.one_way_h + half_h) * dearest

    def _short_h(self, own: tuple[int, ...]) -> float | None:
        """Hours of the crew with its drives, where the stage may share its half-day."""
        if self.facts.stage.kind not in SHORT_KINDS or len(own) > 1:
            return None
        shift = self.site.shifts[own[0] // 2]
        on_site_h = self.facts.hours.p50_h / float(self.crew.pace[own[0] // 2])
        with_drives_h = on_site_h + 2 * self.one_way_h
        half_h = shift.pm_h if own[0] % 2 else shift.am_h
        fits_in = on_site_h <= SHORT_H + ROUNDING_H and with_drives_h <= half_h + ROUNDING_H
        return with_drives_h if fits_in else None
