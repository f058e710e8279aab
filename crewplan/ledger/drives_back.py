"""What driving back for something that was missing cost: people, distance, road and standing."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from crewplan.ledger.book import Book
from crewplan.ledger.entries import hours_of, micro_of
from crewplan.model.finding import DrivesBack
from crewplan.model.work_rows import HoursWorked
from crewplan.placing.travel import drive_h


def drives_back(book: Book, rows: Sequence[HoursWorked]) -> DrivesBack | None:
    """Of hours lost over one part; None where nobody drove back.

    A drive is a stage on a day with hours of `return_trip`: one vehicle, from the site to the base
    and back, by the branch's own pace and detours. Of each person's noted hours as much as that
    takes is road, all else standing about, and so are the hours of those who waited on site.
    """
    branch = book.branch
    bases = {row.crew: row for row in branch.crews}
    base_of = {row.person: bases[row.crew] for row in branch.people}
    sites = {row.job: row for row in branch.jobs}
    site_of = {row.stage: sites[row.job] for row in branch.stages}
    cost_of = dict(zip(book.people, book.costs, strict=True))
    longest: dict[tuple[date, str], float] = {}
    drivers: set[tuple[date, str, str]] = set()
    road_micro = micro_all = 0
    road_cost = cost = Decimal(0)
    for row in rows:
        micro_h, an_hour = micro_of(row.hours), cost_of[row.person] or Decimal(0)
        micro_all += micro_h
        cost += hours_of(micro_h) * an_hour
        base, site = base_of.get(row.person), site_of[row.stage]
        if row.cause != "return_trip":
            continue
        visit = (row.day, row.stage)
        drivers.add((*visit, row.person))
        longest.setdefault(visit, 0.0)
        if base is None:  # nobody knows from where
            continue
        way = (base.base_latitude, base.base_longitude, site.latitude, site.longitude)
        there_and_back_h = 2 * drive_h(branch.settings, *way)
        longest[visit] = max(longest[visit], there_and_back_h)
        on_road = min(micro_h, micro_of(there_and_back_h))
        road_micro += on_road
        road_cost += hours_of(on_road) * an_hour
    if not longest:
        return None
    return DrivesBack(
        drives=len(longest),
        people=len(drivers),
        km=sum(longest.values()) * branch.settings.travel_kmh,
        road_h=hours_of(road_micro),
        road_cost=road_cost,
        standing_h=hours_of(micro_all - road_micro),
        standing_cost=cost - road_cost,
    )
