"""Parts of a placement's price, and the price of leaving a stage for later."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from crewplan.model.settings import Settings
from crewplan.placing.breaks import Break
from crewplan.placing.prices import AMOUNT, cents, priority_weight

FAILED_INSPECTION = "failed inspection"
OVERTIME = "overtime"
OTHER_CREW = "another crew"
SET_UP_AGAIN = "set-up again"
LEFT_OPEN = "left open"
WORST_WEATHERS = "worst weathers"
"""Parts of the price."""


@dataclass(frozen=True, slots=True)
class Promise:
    """What the days of a stage are worth."""

    today: date
    due_on: date
    priority: int
    open_stages: int
    """Stages of the job that are not done: each carries its share of the job's prices."""


@dataclass(frozen=True, slots=True)
class Published:
    """Where the published plan has the stage."""

    crew: str
    start_on: date
    start_half: str
    again: tuple[date, str] | None = None
    """Day and half of the part after it; None: it has no other."""
    away: Break | None = None
    """Half-days of the horizon between the two."""


@dataclass(frozen=True, slots=True)
class Visit:
    """What a placement takes and risks; money in the branch's currency, hours of the crew."""

    crew: str
    start_on: date
    start_half: str
    end_on: date
    travel_cost: float
    """All drives of all people."""
    lost_h: float
    """Expected person-hours."""
    cost_per_person_h: float
    """Mean loaded cost of the people there."""
    again_cost: float
    """One more drive and half-day of the crew."""
    p_finish: float
    p_ready: float
    equipment_cost: float
    """Borrowed equipment over all days."""
    failing_cost: float = 0.0
    """Expected, of an inspection that fails: the return stage and another inspection."""
    other_crew_cost: float = 0.0
    """Where another crew has started the job."""
    overtime_cost: float = 0.0
    """Expected, at the overtime's own rate."""
    set_up_cost: float = 0.0
    """What is done again after each break."""
    open_cost: float = 0.0
    """Of the half-days that a begun job is left open."""
    again: tuple[date, str] | None = None
    """Day and half of the second part."""
    worst_weathers: float = 0.0
    """What lost hours and coming again cost more in the worst weathers, by its weight."""


def failing_cost(
    p_fail: float, return_h: float, inspection_h: float, cost_per_person_h: float, travel: float
) -> float:
    """Expected cost of a failed inspection, with the crew of this one.

    Args:
        p_fail: chance that it fails.
        return_h: person-hours of work that putting it right takes.
        inspection_h: person-hours of the inspection, which comes again.
        cost_per_person_h: mean loaded cost of the people there.
        travel: cost of all drives of all people, each time.
    """
    return p_fail * ((return_h + inspection_h) * cost_per_person_h + 2 * travel)


def waiting(promise: Promise, end_on: date) -> float:
    """Value of the calendar days until the stage ends."""
    days = max((end_on - promise.today).days, 0)
    return AMOUNT["waiting"] * days * priority_weight(promise.priority) / promise.open_stages


def lateness(promise: Promise, end_on: date) -> float:
    """Convex price of the calendar days from the promise to the stage's end."""
    days = max((end_on - promise.due_on).days, 0)
    price = AMOUNT["late day"] * days + AMOUNT["late day squared"] * days * days
    return price * priority_weight(promise.priority) / promise.open_stages


def early(promise: Promise, end_on: date) -> float:
    """Small price of the calendar days from the stage's end to the promise."""
    days = max((promise.due_on - end_on).days, 0)
    a_day = AMOUNT["early"] * AMOUNT["waiting"]
    return a_day * days * priority_weight(promise.priority) / promise.open_stages


@lru_cache(16_384)
def by_its_day(promise: Promise, end_on: date) -> Mapping[str, float]:
    """The parts that hang on when a stage ends: together convex, and least where it ends today."""
    return {
        "waiting": waiting(promise, end_on),
        "early": early(promise, end_on),
        "lateness": lateness(promise, end_on),
    }


def day_of_delay(promise: Promise, end_on: date) -> float:
    """What one more calendar day costs a stage that else ends on `end_on`."""
    later = by_its_day(promise, end_on + timedelta(days=1))
    return sum(later.values()) - sum(by_its_day(promise, end_on).values())


def _nearness(today: date, published_on: date) -> float:
    return 1.0 / (1.0 + max((published_on - today).days, 0) / AMOUNT["move fades"])


def move(today: date, published: Published | None, visit: Visit) -> float:
    """Price of standing elsewhere than published, dearer the nearer the published day."""
    if published is None:
        return 0.0
    share = 0.0
    if visit.start_on != published.start_on:
        share += 1.0
    elif visit.start_half != published.start_half:
        share += AMOUNT["half-day move"]
    if visit.crew != published.crew:
        share += AMOUNT["crew move"]
    whole = AMOUNT["move"] * share * _nearness(today, published.start_on)
    if published.again is not None and visit.again != published.again:
        # the customer was told the day of the second part as well
        whole += AMOUNT["move"] * _nearness(today, published.again[0])
    return whole


def open_cost(settings: Settings, half_days: int) -> float:
    """Price of working half-days over which a begun job is left open."""
    return settings.open_day_cost * half_days / 2


def _whole_cents(parts: Mapping[str, float]) -> dict[str, int]:
    rounded = ((name, cents(amount)) for name, amount in parts.items() if amount)
    return {name: amount for name, amount in rounded if amount}


def price(visit: Visit, promise: Promise, published: Published | None) -> dict[str, int]:
    """Cents by part of the price; parts that come to nothing are left out."""
    return _whole_cents(
        {
            "travel": visit.travel_cost,
            "lost hours": visit.lost_h * visit.cost_per_person_h,
            **by_its_day(promise, visit.end_on),
            "not finishing": (1.0 - visit.p_finish) * visit.again_cost,
            "not ready": (1.0 - visit.p_ready) * visit.again_cost,
            "equipment": visit.equipment_cost,
            OTHER_CREW: visit.other_crew_cost,
            OVERTIME: visit.overtime_cost,
            SET_UP_AGAIN: visit.set_up_cost,
            LEFT_OPEN: visit.open_cost,
            FAILED_INSPECTION: visit.failing_cost,
            WORST_WEATHERS: visit.worst_weathers,
            "move": move(promise.today, published, visit),
        }
    )


BY_ITS_DAY = ("waiting", "early", "lateness", "move", LEFT_OPEN)
"""Parts of the price that hang on the days of a placement."""


def cheapest_but_for_days(prices: Iterable[Mapping[str, int]]) -> dict[str, int]:
    """Of prices by part: the least without what hangs on the days; empty where there is none."""
    bare = ({n: c for n, c in parts.items() if n not in BY_ITS_DAY} for parts in prices)
    return min(bare, key=lambda parts: (sum(parts.values()), sorted(parts.items())), default={})


def price_of_later(
    placements: Iterable[Mapping[str, int]],
    last_day: date,
    promise: Promise,
    published: Published | None,
    open_cost: float = 0.0,
) -> dict[str, int]:
    """Cents by part of the price of a stage left out: the work is not lost, it comes later.

    It will cost what its cheapest placement does but for the days, and what being planned again
    does; its own labour is paid in any case and in no price. So a horizon that ends sooner makes
    nobody hurry at any price, and a crew or placement more never makes leaving it out dearer.

    Args:
        placements: prices by part of all that it could be placed at.
        last_day: of the horizon.
        promise: what its days are worth.
        published: where it was published; leaving it out of days that hold it is a move.
        open_cost: of a begun job that is left open until then.
    """
    end_on = last_day + timedelta(days=AMOUNT["later by"])
    due_now = published is not None and published.start_on <= last_day
    near = _nearness(promise.today, published.start_on) if published and due_now else 0.0
    return cheapest_but_for_days(placements) | _whole_cents(
        {
            "left for later": AMOUNT["left for later"],
            LEFT_OPEN: open_cost,
            **by_its_day(promise, end_on),
            "move": AMOUNT["move"] * (1.0 + AMOUNT["crew move"]) * near,
        }
    )
