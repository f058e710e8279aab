"""What a replay of past weather under one policy was worth."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

NOTICE_DAYS = (1, 2, 4)
"""Working days ahead for which it is told whether a start stood."""


@dataclass(frozen=True, slots=True)
class Score:
    """Sums over all that was replayed. Money in the branch's currency."""

    policy: str
    lost_h: float
    """Paid person-hours on site in which nothing could be done."""
    stood_down_h: float
    idle_h: float
    driven_h: float
    jobs_done: int
    days_late: int
    """Of jobs that are done or due, counted to the last day where they are not done."""
    worst_late_days: int
    trips: int
    """Crew and site and day."""
    open_days: float
    """Calendar days from the first day on site to the last, mean over jobs that are done."""
    lost_cost: float
    driven_cost: float
    late_cost: float
    starts_kept: tuple[float | None, ...]
    """Share of begun stages that began on the day published 1, 2, 4 working days ahead, of those
    that were in the plan then; None: no plan was published."""
    first_days_kept: tuple[float | None, ...]
    """The same of jobs: the day on which a customer first sees a crew."""
    moves_told: int
    """Stages whose published day changed from one evening to the next."""
    waited_days: int = 0
    """Calendar days from the day on which a job was ready to its last on site, or to the end of the
    replay: what putting work off costs customers and is in no money here."""
    kept_evenings: int = 0
    """Evenings on which a kept forecast was told; on the others one was made."""
    paid_cost: float = 0.0
    """All hours of crews that were told to come."""
    roof_days: int = 0
    """Crew, site and day with roof work."""

    @property
    def money(self) -> float:
        """Hours paid for nothing, drives and lateness."""
        return self.lost_cost + self.driven_cost + self.late_cost


@dataclass(frozen=True, slots=True)
class Replays:
    """Scores by policy, a seed each, and what they are of."""

    first: date
    last: date
    place: str
    jobs: tuple[int, ...]
    """By seed."""
    words: Mapping[str, str]
    """By policy: what it does."""
    scores: Mapping[str, tuple[Score, ...]]
    """By policy, in the order of seeds."""
    evenings: int = 0
    """Working days replayed, each told the evening before."""
    supposing: str = ""
    """What was supposed, in words; empty: nothing."""
    supposed: Mapping[str, tuple[Score, ...]] = field(default_factory=dict)
    """The same under what was supposed."""
    evening_s: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    """By policy: seconds that deciding took on each evening of each seed. The one thing here that
    is not the same when it is done again."""
    equipment_cost_per_day: float = 0.0
    """Of what is supposed, by day on a roof."""

    def saved(self, policy: str) -> tuple[float, ...]:
        """By seed: money that what is supposed saves, before its own cost."""
        return tuple(
            before.money - after.money
            for before, after in zip(self.scores[policy], self.supposed[policy], strict=True)
        )

    def costs(self, policy: str) -> tuple[float, ...]:
        """By seed: what it costs more itself: paid hours of crews, equipment by day on a roof."""
        return tuple(
            after.paid_cost - before.paid_cost + self.equipment_cost_per_day * after.roof_days
            for before, after in zip(self.scores[policy], self.supposed[policy], strict=True)
        )
