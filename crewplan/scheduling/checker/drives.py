"""Drives and short visits, recounted from the tables."""

from collections.abc import Iterator
from math import asin, cos, radians, sin, sqrt

from crewplan.model.placement import Placement
from crewplan.scheduling.checker.facts import Facts

_DUST_H = 1e-6
_ROUNDED_CENTS = 1
_EARTH_KM = 6371.0088


def _road_h(facts: Facts, here: tuple[float, float], there: tuple[float, float]) -> float:
    """Hours between two points in degrees, by the branch's detours and pace (haversine)."""
    (a, b), (c, d) = (tuple(map(radians, point)) for point in (here, there))
    half = sin((c - a) / 2) ** 2 + cos(a) * cos(c) * sin((d - b) / 2) ** 2
    settings = facts.branch.settings
    return 2 * _EARTH_KM * asin(sqrt(half)) * settings.detour_factor / settings.travel_kmh


def _base(facts: Facts, placement: Placement) -> tuple[float, float]:
    row = next(crew for crew in facts.branch.crews if crew.crew == placement.crew)
    return row.base_latitude, row.base_longitude


def _site(facts: Facts, placement: Placement) -> tuple[float, float]:
    job = facts.job(placement)
    return job.latitude, job.longitude


def _partner(facts: Facts, placement: Placement) -> Placement | None:
    """The visit that the drive is shared with, if it is there and shares it too."""
    for other in facts.known:
        same = (other.crew, other.cells) == (placement.crew, placement.cells)
        if same and (other.stage, other.with_visit) == (placement.with_visit, placement.stage):
            return other
    return None


def _legs_h(facts: Facts, placement: Placement) -> float:
    """Its own part of the way: out and back, or one of them and half of the drive between."""
    base, site = _base(facts, placement), _site(facts, placement)
    other = _partner(facts, placement)
    if other is None:
        return 2 * _road_h(facts, base, site)
    return _road_h(facts, base, site) + _road_h(facts, site, _site(facts, other)) / 2


def way_by_itself_cents(facts: Facts, placement: Placement) -> float:
    """Out and back for all people there, on each day of the work, whatever drive is shared."""
    way_h = 2 * _road_h(facts, _base(facts, placement), _site(facts, placement))
    people = (p for day in facts.days(placement) for p in facts.there(placement.crew, day))
    return 100 * way_h * sum(person.cost_per_h for person in people)


def drives_shared_by_two(facts: Facts) -> Iterator[str]:
    """A drive is shared with a visit of the same crew and half-day, which shares it too."""
    for placement in facts.known:
        if placement.with_visit and _partner(facts, placement) is None:
            yield f"drive: {placement.stage} shares one with {placement.with_visit}, not there so"
        if placement.with_visit and facts.hours[placement.stage].exposed:
            yield f"drive: {placement.stage} shares one and has work on the roof"


def short_visits_take_their_time(facts: Facts) -> Iterator[str]:
    """A short visit takes no less than its work and its part of the way."""
    for placement in facts.known:
        if placement.short_h is None:
            continue
        there = facts.at_work(placement, facts.first_day(placement))
        pace = sum(person.pace for person in there)
        work_h = facts.hours[placement.stage].p50_h / pace if pace else 0.0
        takes_h = work_h + _legs_h(facts, placement)
        if placement.short_h < takes_h - _DUST_H:
            yield f"drive: {placement.stage} takes {takes_h:.2f} h, not {placement.short_h:.2f}"


def drives_are_priced(facts: Facts) -> Iterator[str]:
    """The way of all people there, on each day of the work."""
    for placement in facts.known:
        legs_h = _legs_h(facts, placement)
        people = (p for day in facts.days(placement) for p in facts.at_work(placement, day))
        wanted = 100 * legs_h * sum(person.cost_per_h for person in people)
        told = placement.cost.get("travel", 0)
        if abs(told - wanted) > _ROUNDED_CENTS:
            yield f"price: the drives of {placement.stage} cost {wanted:.0f} cents, not {told}"
