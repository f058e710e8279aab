"""Rival ways to decide the evening before what crews do the next day.

A new one is a function from `Morning` to `Orders`, and a line in `POLICIES`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from crewplan.replay.by_hand import always_go, another_job, cancelled_on_one
from crewplan.replay.morning import Morning, Orders
from crewplan.replay.planned import planned
from crewplan.replay.tomorrow_only import tomorrow_only


@dataclass(frozen=True, slots=True)
class Policy:
    """A name and a way to decide."""

    name: str
    words: str
    decide: Callable[[Morning], Orders]
    knows_the_weather: bool = False
    """Forecasts without error: what could be reached at most."""


POLICIES: Mapping[str, Policy] = {
    policy.name: policy
    for policy in (
        Policy("always_go", "earliest promise first, the crew always goes", always_go),
        Policy("cancelled", "the same, cancelled when one forecast is bad", cancelled_on_one),
        Policy("another_job", "the same, another ready job instead", another_job),
        Policy("tomorrow_only", "tomorrow only, by assignment over all members", tomorrow_only),
        Policy("planned", "this program, planned anew each evening", planned),
        Policy("knowing", "this program, knowing the weather", planned, knows_the_weather=True),
    )
}


def timed(policy: Policy, clock: Callable[[], float]) -> tuple[Policy, list[float]]:
    """The same policy, and a list that each evening's deciding adds its seconds to.

    Args:
        policy: any.
        clock: seconds, ascending; given by whoever may look at one.
    """
    seconds: list[float] = []

    def decide(morning: Morning) -> Orders:
        begun = clock()
        orders = policy.decide(morning)
        seconds.append(clock() - begun)
        return orders

    return replace(policy, decide=decide), seconds
