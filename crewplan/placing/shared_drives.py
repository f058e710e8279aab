"""Two short visits of a crew in one half-day, with one drive between their sites.

Beside its placement by itself, which carries the drives out and back, a short visit has one with
the nearest other short visit: it carries its own leg and half of the drive between. Both of a pair
are picked or neither (the scheduler's rule), so that the halves always make a whole drive.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from crewplan.model.job_rows import Job
from crewplan.model.placement import Placement, StageToPlace
from crewplan.placing.crew_choices import SHORT_KINDS
from crewplan.placing.crew_days import CrewDays
from crewplan.placing.memory import Memory
from crewplan.placing.prices import cents
from crewplan.placing.site import Sites
from crewplan.placing.timeline import ROUNDING_H
from crewplan.placing.travel import drive_h

NEAREST = 1
"""Other visits that each may be paired with: more are more to choose from, and save less."""
MOST_CREWS = 6
"""Those with the shortest way round; with all of forty crews the problem grew by three quarters."""
LEAST_SAVED_H = 0.1
"""A drive between that saves less is not worth tying two customers together. Assumed."""

Pair = tuple[str, str]


def _follows(stages: Mapping[str, StageToPlace], stage: str, other: str) -> bool:
    """Whether a stage comes after another, by one or more steps."""
    to_see, seen = list(stages[stage].after), set[str]()
    while to_see:
        before = to_see.pop()
        if before == other:
            return True
        if before in stages and before not in seen:
            seen.add(before)
            to_see += stages[before].after
    return False


def _between_h(site: Sites, one: Job, other: Job) -> float:
    settings = site.known.branch.settings
    return drive_h(settings, one.latitude, one.longitude, other.latitude, other.longitude)


def _pairs(
    site: Sites, jobs: Mapping[str, Job], stages: Mapping[str, StageToPlace], visits: Sequence[str]
) -> dict[Pair, float]:
    """Visits that may go together, with the hours of the drive between their sites."""
    apart: dict[Pair, float] = {}
    near: dict[str, list[tuple[float, str]]] = {stage: [] for stage in visits}
    for one, other in combinations(visits, 2):
        hours = _between_h(site, jobs[stages[one].job], jobs[stages[other].job])
        if _follows(stages, one, other) or _follows(stages, other, one):
            continue
        apart[one, other] = hours
        near[one].append((hours, other))
        near[other].append((hours, one))
    nearest = {stage: [name for _, name in sorted(near[stage])[:NEAREST]] for stage in visits}
    return {
        (one, other): hours
        for (one, other), hours in apart.items()
        if other in nearest[one] or one in nearest[other]
    }


def _together_h(placement: Placement, own_h: float, between_h: float) -> float:
    """Hours of the crew with half of the drive between in place of the drive back (or out)."""
    assert placement.short_h is not None
    return placement.short_h - 2 * own_h + (own_h + between_h / 2)


def _paired(
    placement: Placement, other: str, crew: CrewDays, own_h: float, between_h: float
) -> Placement:
    """The placement with half of the drive between in place of the drive back (or out)."""
    legs_h = own_h + between_h / 2
    travel = cents(legs_h * float(crew.cost_per_h[placement.start // 2]))
    cost = {name: amount for name, amount in placement.cost.items() if name != "travel"}
    return replace(
        placement,
        cost=({"travel": travel} if travel else {}) | cost,
        short_h=_together_h(placement, own_h, between_h),
        with_visit=other,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Visit:
    """One of two short visits."""

    stage: str
    job: Job
    solo: dict[str, dict[int, list[Placement]]]
    """By crew and half-day: its placements by itself."""


def _with_crew(
    site: Sites, crew: CrewDays, one: _Visit, other: _Visit, between_h: float
) -> list[Placement]:
    """All placements of both in which they share a drive of the crew."""
    found: list[Placement] = []
    first_h, second_h = site.drive_h(crew, one.job), site.drive_h(crew, other.job)
    if first_h + second_h - between_h < LEAST_SAVED_H:
        return found
    ones, others = one.solo[crew.name], other.solo[crew.name]
    for cell in sorted(ones.keys() & others.keys()):
        shift = site.shifts[cell // 2]
        half_h = shift.pm_h if cell % 2 else shift.am_h
        each = ((ones[cell], other, first_h), (others[cell], one, second_h))
        takes_h = sum(_together_h(own[0], leg_h, between_h) for own, _, leg_h in each)
        if takes_h > half_h + ROUNDING_H:
            continue
        for own, partner, leg_h in each:
            found += (_paired(p, partner.stage, crew, leg_h, between_h) for p in own)
    return found


def shared_drives(
    site: Sites,
    jobs: Mapping[str, Job],
    stages: Iterable[StageToPlace],
    ways: Mapping[str, Iterable[Placement]],
    memory: Memory,
) -> Iterator[Placement]:
    """Placements of short visits that share a drive with another, for work on the ground alone:
    weather is judged for a visit by itself, which does not know when its turn comes. With nobody
    lent to or from the crew.

    Args:
        site: crews, days and drives.
        jobs: by number.
        stages: all that are to place.
        ways: their placements, each by itself.
        memory: of the last look, and of this one afterwards.
    """
    by_stage = {stage.stage: stage for stage in stages}
    visits: dict[str, _Visit] = {}
    for name, stage in by_stage.items():
        if stage.kind not in SHORT_KINDS or site.known.hours[name].exposed:
            continue
        visit = _Visit(name, jobs[stage.job], {})
        for p in ways[name]:
            if p.short_h is not None and not (p.joined or p.lent_away):
                visit.solo.setdefault(p.crew, {}).setdefault(p.start, []).append(p)
        if visit.solo:
            visits[name] = visit
    crews = {crew.name: crew for crew in site.crews}
    for (first, second), between_h in _pairs(site, jobs, by_stage, list(visits)).items():
        one, other = visits[first], visits[second]
        legs_h = {
            name: site.drive_h(crews[name], one.job) + site.drive_h(crews[name], other.job)
            for name in one.solo.keys() & other.solo.keys()
        }
        nearest = sorted(legs_h, key=lambda name: (legs_h[name], name))[:MOST_CREWS]
        for name in sorted(nearest):
            made_of = memory.of_ways(name, first, second)
            make = partial(_with_crew, site, crews[name], one, other, between_h)
            yield from memory.again(first, (name, "drive", second), made_of, make)
