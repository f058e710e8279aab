"""Standby for each crew and day with roof or lift work at risk, chosen ahead.

What is offered has passed every rule as a placement (certificate, people, equipment, readiness,
weather); what it would break beside the plan is read from the same rows that the plan keeps to. The
crew's own time on that day is free, since the visit does not go; all else of the visit stays taken.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import Plan
from crewplan.model.standby import AtRisk, Standby
from crewplan.placing.crew_days import CrewDays, crew_days
from crewplan.placing.prices import cents
from crewplan.scheduling.problem import Problem, problem
from crewplan.scheduling.rules import crew_time, lending

Ints = NDArray[np.int64]


def ground_steps(hours: StageHours) -> tuple[StepHours, ...]:
    """Steps on the ground that wait for no step on the roof or lift, in working order."""
    open_steps: dict[str, StepHours] = {}
    for step in hours.steps:
        if step.exposure == "ground" and all(before in open_steps for before in step.after):
            open_steps[step.step] = step
    return tuple(open_steps.values())


def at_risk(
    placements: Sequence[Placement], jobs: Mapping[str, str], hours: Mapping[str, StageHours]
) -> tuple[AtRisk, ...]:
    """Visits by day that some weather stops; `jobs` by stage."""
    return tuple(
        AtRisk(
            p.crew,
            p.stage,
            jobs[p.stage],
            tuple(cell for cell in p.cells if cell // 2 == day),
            p.p_go,
            day == p.start // 2,
        )
        for p in placements
        if hours[p.stage].exposed and p.p_go < 1
        for day in p.days
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Offer:
    """One thing that a crew could do instead."""

    risk: AtRisk
    standby: Standby
    column: int | None
    """Of the problem; None: no stage of its own."""
    change: Ints | None
    """What it adds to each row, without the visit's own time."""


class _Offers:
    """All offers of a plan; its problem holds what is taken and what could come in its place."""

    def __init__(
        self,
        branch: Branch,
        choices: Choices,
        taken: Sequence[Placement],
        spoken_for: Mapping[str, str],
        risks: Sequence[AtRisk],
        hours: Mapping[str, StageHours],
    ) -> None:
        self.branch, self.choices, self.hours = branch, choices, hours
        self.spoken_for = spoken_for
        places = {(risk.crew, cell) for risk in risks for cell in risk.cells}
        kept = {id(p) for p in taken}
        held = [
            p
            for p in choices.placements
            if id(p) in kept or all((p.crew, cell) in places for cell in p.cells)
        ]
        self.whole: Problem = problem(replace(choices, placements=tuple(held)), all_stay=False)
        self.picked = self.whole.held.with_loans(id(p) in kept for p in held)
        self.at = {p.stage: column for column, p in enumerate(held) if id(p) in kept}
        self.matrix = sparse.csc_array(self.whole.selection.matrix)
        self.activity = self.whole.selection.activity(self.picked)
        time = crew_time.NAME, lending.NAME
        self.of_time = np.array([row.rule in time for row in self.whole.rows], np.bool_)
        self.stages = {stage.stage: stage for stage in choices.stages}
        self.crews: dict[str, CrewDays] = {
            crew.crew: crew_days(branch, crew, choices.horizon.days) for crew in branch.crews
        }

    def adds(self, column: int) -> Ints:
        """What a column adds to each row."""
        return np.asarray(self.matrix[:, [column]].toarray()[:, 0], dtype=np.int64)

    def worth(self, crew: str, day: int, work_h: float) -> float:
        """What so many person-hours of the crew's time cost."""
        there = self.crews[crew]
        pace = float(there.pace[day])
        return work_h / pace * float(there.cost_per_h[day]) if pace > 0 else 0.0

    def on_site(self, risk: AtRisk) -> _Offer | None:
        """Ground work of the visit itself, as far as the day goes; on its first day."""
        steps = ground_steps(self.hours[risk.stage])
        day = risk.cells[0] // 2
        room = sum(self.choices.half_day_h[cell % 2] for cell in risk.cells)
        could = room * float(self.crews[risk.crew].pace[day])
        work_h = min(sum(step.p50_h for step in steps), could)
        if not risk.first_day or work_h <= 0:
            return None
        saved = cents(self.worth(risk.crew, day, work_h))
        told = Standby(
            self.choices.horizon.days[day],
            risk.crew,
            risk.stage,
            1 - risk.p_go,
            "ground work on site",
            None,
            risk.job,
            tuple(step.step for step in steps),
            work_h,
            -saved,
        )
        return _Offer(risk, told, None, None)

    def elsewhere(self, risk: AtRisk) -> Iterator[_Offer]:
        """Stages that are left out, or that the crew has on a later day."""
        free = set(risk.cells)
        for column, placement in enumerate(self.whole.held.placements):
            stage = self.stages[placement.stage]
            if placement.crew != risk.crew or not set(placement.cells) <= free:
                continue
            if placement.with_visit:
                continue
            if self.spoken_for.get(placement.stage, risk.crew) != risk.crew:
                continue
            if stage.kind == "inspection":
                continue  # nobody asks an inspector to come if the wind blows
            exposed = self.hours[placement.stage].exposed
            if exposed and (stage.job == risk.job or placement.p_go <= risk.p_go):
                continue
            if any(self._ends_on(before, risk.cells[0] // 2) for before in stage.after):
                continue  # the same weather may stop what it waits for
            offer = self._offer(risk, column, "another site" if exposed else "another stage")
            if offer is not None:
                yield offer

    def _ends_on(self, stage: str, day: int) -> bool:
        column = self.at.get(stage)
        return column is not None and self.whole.held.placements[column].end // 2 == day

    def _offer(self, risk: AtRisk, column: int, instead: str) -> _Offer | None:
        placement = self.whole.held.placements[column]
        stage = self.stages[placement.stage]
        day = risk.cells[0] // 2
        change = self.adds(column)
        before = sum(stage.unplaced_cost.values())
        if placement.stage in self.spoken_for:
            later = self.at.get(placement.stage)
            if later is None or stage.keep is not None:
                return None
            own = self.whole.held.placements[later]
            if own.start // 2 <= day or own.with_visit:
                return None
            change = change - self.adds(later)
            before = own.cents + cents(self.worth(risk.crew, day, placement.labour_p50_h))
        if risk.stage in self.at:
            # its hours of this day are free; those of its other days stay its own
            own_time = self.adds(self.at[risk.stage]) * self.of_time
            change = change - own_time * (self.adds(column) > 0)
        told = Standby(
            self.choices.horizon.days[day],
            risk.crew,
            risk.stage,
            1 - risk.p_go,
            "another site" if instead == "another site" else "another stage",
            placement,
            stage.job,
            (),
            placement.labour_p50_h,
            placement.cents - before,
        )
        return _Offer(risk, told, column, change)

    def fits(self, change: Ints, activity: Ints) -> bool:
        """Whether no row that it adds to goes over its end."""
        more = change > 0
        return bool(np.all((activity + change)[more] <= self.whole.selection.upper[more]))


def standby(
    branch: Branch,
    choices: Choices,
    taken: Sequence[Placement],
    spoken_for: Mapping[str, str],
    risks: Sequence[AtRisk],
    hours: Mapping[str, StageHours],
) -> tuple[Standby, ...]:
    """One answer for each of `risks`; no stage is told to two crews on one day.

    Of each day the cheapest offer is taken first; those taken stand together.

    Args:
        branch: for people and what their hours cost.
        choices: placements, the same objects as in `taken`.
        taken: placements that stay as they are.
        spoken_for: crew by stage: those of the plan, whether in `taken` or not.
        risks: visits by day.
        hours: by stage.
    """
    if not risks:
        return ()
    offers = _Offers(branch, choices, taken, spoken_for, risks, hours)
    found: dict[AtRisk, Standby] = {}
    for day in sorted({risk.cells[0] // 2 for risk in risks}):
        of_day = [risk for risk in risks if risk.cells[0] // 2 == day]
        there = [offer for risk in of_day for offer in offers.elsewhere(risk)]
        there += [site for risk in of_day if (site := offers.on_site(risk)) is not None]
        there.sort(key=lambda offer: offer.standby.cents)
        activity, used = offers.activity.copy(), set[str]()
        for offer in there:
            placement = offer.standby.placement
            if offer.risk in found or (placement is not None and placement.stage in used):
                continue
            if offer.standby.cents >= 0:
                continue
            if placement is not None and offer.change is not None:
                if not offers.fits(offer.change, activity):
                    continue
                activity = activity + offer.change
                used.add(placement.stage)
            found[offer.risk] = offer.standby
    days = choices.horizon.days
    return tuple(
        found.get(
            risk, Standby(days[risk.cells[0] // 2], risk.crew, risk.stage, 1 - risk.p_go, "nothing")
        )
        for risk in risks
    )


def standby_of_plan(
    branch: Branch, choices: Choices, plan: Plan, hours: Mapping[str, StageHours]
) -> tuple[Standby, ...]:
    """Of a plan: for each visit with roof or lift work that some weather stops."""
    taken = [planned.placement for planned in plan.planned]
    jobs = {planned.placement.stage: planned.job for planned in plan.planned}
    spoken_for = {p.stage: p.crew for p in taken}
    return standby(branch, choices, taken, spoken_for, at_risk(taken, jobs, hours), hours)
