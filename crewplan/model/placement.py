"""Everything that could be done: each stage with each crew at each start, and what it costs."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from functools import lru_cache
from itertools import pairwise
from operator import attrgetter
from typing import Any, Literal

from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import StageKind

ReasonKind = Literal[
    "readiness",
    "material",
    "weather",
    "people",
    "certificate",
    "equipment",
    "order",
    "customer",
    "inspections",
    "capacity",
    "overtime",
    "price",
    "horizon",
    "pin",
]


@lru_cache(16_384)
def days_of(cells: tuple[int, ...]) -> tuple[int, ...]:
    """Days by index, each once, of half-days; asked for over and over with the same ones."""
    return tuple(dict.fromkeys(cell // 2 for cell in cells))


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that keeps a stage out, in the tables' own words, and over which days."""

    kind: ReasonKind
    detail: str
    from_on: date | None = None
    until_on: date | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One run of half-days of a stage that is broken off and taken up again by the same crew."""

    cells: tuple[int, ...]
    people: tuple[str, ...]
    labour_p50_h: float
    """Expected to be done in it, at P50 hours; set-up again included."""
    labour_p80_h: float
    lost_h: float
    cost: Mapping[str, int]
    """Its cents by part of the price; those of all parts add up to the placement's."""


@dataclass(frozen=True, slots=True)
class Placement:
    """A stage with a crew and a start half-day.

    `cost` maps the name of a part of the price to whole cents.
    """

    stage: str
    crew: str
    cells: tuple[int, ...]
    """Half-days of the horizon, ascending."""
    people: tuple[str, ...]
    """Those of the crew there on at least one of its days."""
    lead: str
    labour_p50_h: float
    labour_p80_h: float
    lost_h: float
    """Expected person-hours on site in which no step can be done."""
    p_go: float
    p_ready: float
    p_finish: float
    granted: bool
    """Every requirement but material is in hand."""
    cost: Mapping[str, int]
    short_h: float | None = None
    """Hours of the crew, drive out and back included, where it may share its half-day."""
    kit: Mapping[str, float] | None = None
    """Stocked units by item in place of the stage's own kit, where an item stands in for another;
    None: its own."""
    p_fail: float = 0.0
    """Of an inspection: chance that it does not pass the first time."""
    overtime_h: float = 0.0
    """Expected person-hours after the shift, on days that work goes on to or past their end."""
    with_visit: str = ""
    """Stage of a short visit in the same half-day, with one drive between; `short_h` then has half
    of that drive in place of one of its own. Empty: it drives out and back."""
    parts: tuple[Part, ...] = ()
    """Where the crew leaves it open and comes back: its runs of half-days; empty: in one go."""

    @property
    def part_starts(self) -> tuple[int, ...]:
        """First half-day of each part; of a stage done in one go its only start."""
        return tuple(part.cells[0] for part in self.parts) or (self.start,)

    @property
    def away(self) -> tuple[int, ...]:
        """Half-days of the horizon between its parts."""
        between = pairwise(self.parts)
        return tuple(c for a, b in between for c in range(a.cells[-1] + 1, b.cells[0]))

    joined: tuple[str, ...] = ()
    """People of other crews who are lent to the crew on each of its days."""
    lent_away: tuple[str, ...] = ()
    """People of the crew who are lent to other crews on each of its days."""
    cents: int = field(init=False, compare=False, repr=False)
    """All parts of the price together, added up once: they are asked for over and over."""

    def __post_init__(self) -> None:
        """Add up the price."""
        object.__setattr__(self, "cents", sum(self.cost.values()))

    @property
    def days(self) -> tuple[int, ...]:
        """Days of the horizon that it works on, by index, each once."""
        return days_of(self.cells)

    @property
    def start(self) -> int:
        """First half-day."""
        return self.cells[0]

    @property
    def end(self) -> int:
        """Last half-day."""
        return self.cells[-1]

    @property
    def key(self) -> tuple[str, str, tuple[int, ...], object]:
        """What tells it from all others: stage, crew and half-days first."""
        kit = tuple(sorted((self.kit or {}).items()))
        ways = self.with_visit, kit, self.joined, self.lent_away
        return self.stage, self.crew, self.cells, ways


_NAMES = tuple(field.name for field in fields(Placement) if field.init)
_values = attrgetter(*_NAMES)


def altered(placement: Placement, **changes: Any) -> Placement:
    """As `dataclasses.replace`, which takes four times as long: a week has a hundred thousand."""
    return Placement(**(dict(zip(_NAMES, _values(placement), strict=True)) | changes))


@dataclass(frozen=True, slots=True)
class Keep:
    """A published placement whose crew and start stay."""

    crew: str
    start: int
    """Cell of the horizon."""
    pinned: bool
    """By hand; else because its day is frozen."""
    again: int | None = None
    """Start of its next part, where that stays too."""
    joined: tuple[str, ...] = ()
    """Lent to the crew there, as published; they come again."""
    lent_away: tuple[str, ...] = ()
    """Of the crew, lent to others there as published; they may be away again, or there."""

    def holds(self, placement: Placement) -> bool:
        """Whether a placement of the stage is what was published."""
        return (
            placement.crew == self.crew
            and placement.start == self.start
            and (self.again is None or self.again in placement.part_starts[1:])
            and set(placement.joined) == set(self.joined)
            and set(placement.lent_away) <= set(self.lent_away)
        )


@dataclass(frozen=True, slots=True)
class StageToPlace:
    """A stage that is not done, and what holds between it and the others."""

    stage: str
    job: str
    kind: StageKind
    authority: str
    due_on: date
    priority: int
    after: tuple[str, ...]
    """Stages before it that are not done either."""
    gap_days: int
    kit: Mapping[str, float]
    """Stocked units of each item that it takes from stock on its first day; empty: none."""
    shared_equipment: Mapping[str, tuple[str, ...]]
    """By crew: equipment that it must borrow."""
    unplaced_cost: Mapping[str, int]
    """Cents by part of the price, where the stage is left for later."""
    keep: Keep | None
    published: bool
    """It stands in the plan table."""
    promised: bool
    """Its promise falls within the horizon."""
    reasons: tuple[Reason, ...] = ()
    """Why starts are missing from its placements; all of them where it has none."""
    awaited: tuple[str, ...] = ()
    """Kinds of requirement that are not in hand yet, in the tables' own words; no material."""
    calls: tuple[str, ...] = ()
    """Calls to make before a start on a frozen day, such as `customer_confirmed`; no stops."""
    left_open_by: str = ""
    """The crew that has begun it and is elsewhere; empty: nobody has."""


def kit_of(stage: StageToPlace, placement: Placement) -> Mapping[str, float]:
    """Stocked units of each item that a placement of the stage takes on its first day."""
    return stage.kit if placement.kit is None else placement.kit


@dataclass(frozen=True, slots=True)
class Lending:
    """What lending people between crews takes."""

    cents_per_day: int
    """Of each person lent, a day."""
    crew_of: Mapping[str, str]
    """By person: the crew that they belong to."""


@dataclass(frozen=True, slots=True, eq=False)
class Choices:
    """All that the scheduler chooses from, and what is scarce."""

    horizon: Horizon
    crews: tuple[str, ...]
    stages: tuple[StageToPlace, ...]
    placements: tuple[Placement, ...]
    done: tuple[str, ...]
    half_day_h: tuple[float, float]
    """Working hours of am and pm."""
    equipment: Mapping[str, int]
    """Shared pieces by name."""
    inspections_per_day: Mapping[str, int]
    """By authority, where a limit is known."""
    on_hand: Mapping[str, float]
    """Stocked units by item."""
    arrivals: Mapping[str, tuple[tuple[date, float], ...]]
    """By item: day and quantity, ascending."""
    material_judged: bool
    open_jobs_max: int = 1
    """Stages that a crew may leave open at once."""
    uneven_cents_a_minute: int = 0
    """For each minute between the crew with the most planned hours and the one with the least."""
    even_crews: tuple[str, ...] = ()
    """Between which crews, where that has a price; they stay the same where only some placements
    are looked at. Those with placements belong to them in any case."""
    lending: "Lending | None" = None
    """None: nobody is lent."""
    notes: tuple[str, ...] = field(default=())
    """What the plan must say: material not judged, forecast older than the gate allows ..."""
