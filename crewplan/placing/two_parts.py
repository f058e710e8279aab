"""Placements of a stage that the same crew leaves open and takes up again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.placement import Part, Placement, days_of
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing.broken import Broken
from crewplan.placing.crew_days import CrewDays, days_cost, people_of
from crewplan.placing.holes import Again
from crewplan.placing.price import LEFT_OPEN, SET_UP_AGAIN, WORST_WEATHERS, Visit
from crewplan.placing.prices import cents

SET_UP = "set up again"
"""Stands for the steps that are done again, in the hours of a stage that was left open."""
_OF_THE_END = (
    "waiting",
    "early",
    "lateness",
    "not finishing",
    WORST_WEATHERS,
    SET_UP_AGAIN,
    LEFT_OPEN,
)
"""Parts of the price that the second part alone carries."""


def again_of(hours: StageHours) -> Again:
    """What a crew that comes back to the stage does again."""
    return Again(hours.again_p80_h, EXPOSURES.index(hours.again_exposure) + 1)


def come_back_to(hours: StageHours) -> StageHours:
    """Hours of a begun stage for a crew that is elsewhere: first it sets up again.

    What is set up again stands before every step that is as exposed as it.
    """
    if hours.undone_p80_h <= 0 or not hours.exposed:
        return hours
    more, least = hours.undone_p80_h, EXPOSURES.index(hours.again_exposure)
    again = StepHours(
        SET_UP, hours.again_exposure, (), more, 0.0, 1, "as planned for the steps done again, P80"
    )
    steps = tuple(
        replace(step, after=(SET_UP, *step.after))
        if EXPOSURES.index(step.exposure) >= least
        else step
        for step in hours.steps
    )
    return replace(
        hours,
        steps=(again, *steps),
        p50_h=hours.p50_h + more,
        p80_h=hours.p80_h + more,
        p90_h=hours.p90_h + more,
    )


def not_beaten(placements: Sequence[Placement], published_back: int | None) -> list[Placement]:
    """Without those that cost no less than another of the same start inside their half-days.

    Two of them that are alike in both are both kept off by the first.
    """
    kept: list[Placement] = []
    for one in sorted(placements, key=lambda p: (p.start, len(p.cells), p.cents, p.cells)):
        beaten = any(
            other.start == one.start
            and set(other.cells) <= set(one.cells)
            and other.cents <= one.cents
            for other in kept
        )
        if not beaten or published_back in one.part_starts[1:]:
            kept.append(one)
    return kept


@dataclass(frozen=True, slots=True)
class Split:
    """The half-days of both parts, and what lies in each."""

    before: tuple[int, ...]
    after: tuple[int, ...]
    broken: Broken

    @property
    def days_after(self) -> tuple[int, ...]:
        """Days (indices) of the second part."""
        return days_of(self.after)


def split_of(cells: Sequence[int], broken: Broken) -> Split:
    """Positions as half-days of the horizon."""
    return Split(
        tuple(int(cells[at]) for at in range(broken.first, broken.leave)),
        tuple(int(cells[at]) for at in range(broken.back, broken.last + 1)),
        broken,
    )


def broken_visit(
    visit: Visit, split: Split, crew: CrewDays, again: Again, open_cost: float, horizon: Horizon
) -> Visit:
    """The visit with what is paid again at its second part."""
    day = split.after[0] // 2
    hour_cost = float(crew.cost_per_h[day]) / float(crew.pace[day])
    return replace(
        visit,
        set_up_cost=again.hours * hour_cost,
        open_cost=visit.open_cost + open_cost,
        again=(horizon.day_of(split.after[0]), horizon.half_of(split.after[0])),
    )


def in_parts(
    whole: Placement, split: Split, crew: CrewDays, again: Again, one_way_h: float, lost_cost: float
) -> Placement:
    """The placement with its parts; what each carries adds up to the whole.

    Args:
        whole: of all half-days, at its price.
        split: into its parts.
        crew: who goes.
        again: what is done again.
        one_way_h: hours of a drive.
        lost_cost: of a person-hour.
    """
    broken, last_days = split.broken, split.days_after
    cost = dict(whole.cost)
    days = len(whole.days)
    after: dict[str, int] = {name: cost[name] for name in _OF_THE_END if name in cost}
    shares: Mapping[str, float] = {
        "travel": 2 * one_way_h * days_cost(crew, last_days)[0],
        "lost hours": broken.lost_after_h * lost_cost,
        "equipment": cost.get("equipment", 0) / 100 * len(last_days) / days,
    }
    after |= {name: min(cents(of), cost[name]) for name, of in shares.items() if name in cost}
    before = {name: of - after.get(name, 0) for name, of in cost.items() if of != after.get(name)}
    p50_h, p80_h = whole.labour_p50_h - again.hours, whole.labour_p80_h - again.hours
    done = min(1.0, broken.done_before_h / p50_h) if p50_h > 0 else 0.0
    first_days = days_of(split.before)
    lost_before_h = min(round(broken.lost_before_h, 6), whole.lost_h)
    first = Part(
        split.before, people_of(crew, first_days), done * p50_h, done * p80_h, lost_before_h, before
    )
    second = Part(
        split.after,
        people_of(crew, last_days),
        whole.labour_p50_h - first.labour_p50_h,
        whole.labour_p80_h - first.labour_p80_h,
        whole.lost_h - lost_before_h,
        {name: of for name, of in after.items() if of},
    )
    return replace(whole, parts=(first, second))
