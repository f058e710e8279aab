"""Two short visits of a crew in one half-day, with one drive between their sites.

Beside its placement by itself, which carries the drives out and back, a short visit has one with
the nearest other short visit: it carries its own leg and half of the drive between. Both of a pair
are picked or neither (the scheduler's rule), so that the halves always make a whole drive.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from crewplan.model.job_rows import Job
from crewplan.model.placement import Placement, StageToPlace
from crewplan.placing.crew_days import CrewDays
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


def shared_drives(
    site: Sites,
    jobs: Mapping[str, Job],
    stages: Iterable[StageToPlace],
    placements: Iterable[Placement],
) -> Iterator[Placement]:
    """Placements of short visits that share a drive with another, for work on the ground alone:
    weather is judged for a visit by itself, which does not know when its turn comes. With nobody
    lent to or from the crew.

    Args:
        site: crews, days and drives.
        jobs: by number.
        stages: all that are to place.
        placements: of them, each by itself.
    """
    by_stage = {stage.stage: stage for stage in stages}
    exposed = {stage.stage: site.known.hours[stage.stage].exposed for stage in stages}
    solo: dict[str, dict[tuple[str, int], list[Placement]]] = {}
    for placement in placements:
        lent = placement.joined or placement.lent_away
        if placement.short_h is not None and not lent and not exposed[placement.stage]:
            at = solo.setdefault(placement.stage, {})
            at.setdefault((placement.crew, placement.start), []).append(placement)
    crews = {crew.name: crew for crew in site.crews}
    for (one, other), between_h in _pairs(site, jobs, by_stage, list(solo)).items():
        both = (jobs[by_stage[one].job], jobs[by_stage[other].job])
        legs_h = {name: [site.drive_h(crew, job) for job in both] for name, crew in crews.items()}
        places = solo[one].keys() & solo[other].keys()
        may = sorted({name for name, _ in places}, key=lambda name: (sum(legs_h[name]), name))
        nearest = may[:MOST_CREWS]
        for name, cell in sorted(places):
            first_h, second_h = legs_h[name]
            if name not in nearest or first_h + second_h - between_h < LEAST_SAVED_H:
                continue
            shift = site.shifts[cell // 2]
            half_h = shift.pm_h if cell % 2 else shift.am_h
            each = ((one, other, first_h), (other, one, second_h))
            takes_h = sum(
                _together_h(solo[stage][name, cell][0], leg_h, between_h)
                for stage, _, leg_h in each
            )
            if takes_h > half_h + ROUNDING_H:
                continue
            for stage, partner, leg_h in each:
                for p in solo[stage][name, cell]:
                    yield _paired(p, partner, crews[name], leg_h, between_h)
