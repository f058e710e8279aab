"""Where hours went and what jobs made. Hours are exact person-hours, costs exact money.

Sums are Decimals, so that the same record adds up to the same total however it is grouped.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

SubjectBy = Literal["authority", "supplier", "limit", "part"]
"""What lost hours may be about."""
By = Literal["job", "crew", "cause", "week", "stage", "authority", "supplier", "limit", "part"]
PRODUCTIVE = "productive"
"""Stands among the causes for hours that were not lost."""
NOT_TOLD = "not told"
"""Stands among authorities, suppliers, limits and parts for hours that were about one of them, and
nobody said which."""
OTHER_CAUSES = "other causes"
"""Stands there for lost hours that were about none of them."""


@dataclass(frozen=True, slots=True)
class Span:
    """Days from `first` to `last`, both included; None: open on that side."""

    first: date | None = None
    last: date | None = None


@dataclass(frozen=True, slots=True)
class Undefined:
    """A figure that cannot be worked out."""

    why: str


Figure = float | Undefined


@dataclass(frozen=True, slots=True)
class LostHours:
    """Hours lost for one cause."""

    cause: str
    hours: Decimal
    cost: Decimal
    """Loaded, in the branch's currency; hours without a known price count nothing."""


@dataclass(frozen=True, slots=True)
class HoursLine:
    """Hours of one job, stage, crew, cause or week, or of all of them."""

    name: str
    """A crew that is not known (the person is no longer in `people`) is empty."""
    productive_h: Decimal
    productive_cost: Decimal
    lost: tuple[LostHours, ...]
    """Each cause once, in the order of the table's words."""
    earned_h: Decimal
    """Planned hours x share done, gained within the span; below 0 where progress was taken back."""
    unpriced_h: Decimal
    """Of the hours worked, those of people whose cost is unknown."""

    @property
    def lost_h(self) -> Decimal:
        """For any cause."""
        return sum((part.hours for part in self.lost), Decimal(0))

    @property
    def lost_cost(self) -> Decimal:
        """For any cause."""
        return sum((part.cost for part in self.lost), Decimal(0))

    @property
    def worked_h(self) -> Decimal:
        """Productive and lost."""
        return self.productive_h + self.lost_h

    @property
    def cost(self) -> Decimal:
        """Of all hours worked."""
        return self.productive_cost + self.lost_cost

    @property
    def hours_index(self) -> Figure:
        """Earned / worked, both of the line's own span."""
        if self.worked_h == 0:
            return Undefined("no hours were worked")
        return float(self.earned_h / self.worked_h)


@dataclass(frozen=True, slots=True)
class LabourCost:
    """Loaded cost of hours, lost ones among them, in the branch's currency."""

    so_far: float
    """Hours of people whose cost is unknown cost nothing."""
    at_index: Figure
    """At completion if the rest goes as the work so far, at the mean cost of an hour so far."""
    as_planned: Figure
    """If the rest goes as planned, at what an hour of table work costs the branch."""
    at_both: Figure
    """If the rest goes by both indices, at the mean cost of an hour so far."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Earned value from the beginning of the record to the end of a day, in person-hours.

    Of a crew: its part of each stage, as the stage's productive hours are shared so far; a stage
    that nobody began is its published crew's.
    """

    budget_h: float
    """Planned hours of all of the work."""
    promised_h: float
    """Planned value: planned hours of what was to be done by then."""
    earned_h: float
    promised_earned_h: float
    """Earned hours of the stages that `promised_h` counts."""
    worked_h: float
    cost_index: Figure
    """Earned / worked."""
    schedule_index: Figure
    """Earned / planned value, both of the same stages."""
    estimate_at_index_h: Figure
    """Hours at completion if the rest goes as the work so far."""
    estimate_as_planned_h: Figure
    """Hours at completion if the rest goes as planned."""
    estimate_at_both_h: Figure
    """Hours at completion if the rest goes by both indices."""
    to_complete_index: Figure
    """What the rest would have to go by to end at the planned hours."""
    cost: LabourCost


@dataclass(frozen=True, slots=True)
class Waterfall:
    """From a job's price to its margin, in cents."""

    price: int
    labour: int
    """Productive hours at loaded cost."""
    material: int
    equipment: int
    lost: int
    """Lost hours at loaded cost."""
    returns: int = 0
    """All that stages of the kind `return` take: hours worked and lost on them, and equipment. None
    of it stands in the parts before."""

    @property
    def margin(self) -> int:
        """What is left of the price."""
        before = self.labour + self.material + self.equipment + self.lost
        return self.price - before - self.returns


@dataclass(frozen=True, slots=True)
class JobMargin:
    """What a job was to make, has left of its price so far, and makes at completion."""

    job: str
    planned: Waterfall
    now: Waterfall
    """The whole price, less what was spent so far."""
    at_completion: Waterfall
    low: int
    """Cents: the margin at completion that nine of ten such rests of the work stay above."""
    high: int
    """Cents: the margin at completion that one of ten stays above."""
    power_w: float
    """Of all modules."""
    crew_days: int
    """Days so far on which a crew was on one of its stages."""
    share_done: Figure
    """Earned / planned hours."""
    notes: tuple[str, ...]
    """What is not counted, or stands on an assumption."""

    @property
    def per_watt(self) -> Figure:
        """Margin at completion, in the branch's currency, by watt of modules."""
        if self.power_w <= 0:
            return Undefined("the job has no modules")
        return self.at_completion.margin / 100 / self.power_w

    @property
    def per_crew_day(self) -> Figure:
        """Margin at completion by day that a crew was there; only for a job that is finished."""
        if isinstance(self.share_done, Undefined) or self.share_done < 1:
            return Undefined("the job is not finished")
        if self.crew_days == 0:
            return Undefined("no hours were worked")
        return self.at_completion.margin / 100 / self.crew_days


@dataclass(frozen=True, slots=True)
class JobLoss:
    """What a job lost, the dearest cause first."""

    job: str
    lost: tuple[LostHours, ...]

    @property
    def hours(self) -> Decimal:
        """For any cause."""
        return sum((part.hours for part in self.lost), Decimal(0))

    @property
    def cost(self) -> Decimal:
        """For any cause."""
        return sum((part.cost for part in self.lost), Decimal(0))

    @property
    def driver(self) -> LostHours:
        """What cost it most."""
        return self.lost[0]


QuestionKind = Literal[
    "long day", "same again", "several times", "finished stage", "before the job",
    "before its turn", "after today", "closed month",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Question:
    """Hours that are counted and look odd: somebody should say whether they are right."""

    kind: QuestionKind
    day: date
    person: str
    stage: str
    """Empty for a long day: it may be spread over several."""
    hours: Decimal
    limit: date | float
    """What it is odd against: the day finished (`before its turn`: of the stage before it; today
    where it is not yet), the job's earliest day, today, hours a day, the hours that are there
    already, how many entries there are, or the day on which the month was closed."""
    before: str = ""
    """The stage that should have been finished."""


@dataclass(frozen=True, slots=True, eq=False)
class HoursRecord:
    """The answer to one question about hours."""

    by: By
    span: Span
    as_of: date
    """Standings and margins count everything up to the end of this day."""
    lines: tuple[HoursLine, ...]
    in_all: HoursLine
    standings: Mapping[str, Standing]
    """By line, where lines are jobs, stages, crews or weeks; of a week: the branch at its end."""
    standing_in_all: Standing
    margins: Mapping[str, JobMargin]
    """By line, where lines are jobs."""
    losses: tuple[JobLoss, ...]
    """Where lines are jobs: those that lost hours, the dearest first."""
    questions: tuple[Question, ...]
