"""What is supposed, and how the plan differs under it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from crewplan.model.lent import LentChange
from crewplan.model.limit_row import Limit
from crewplan.model.placement import Reason
from crewplan.model.plan_row import Half


@dataclass(frozen=True, slots=True)
class Wanted:
    """A stage that begins on a day, with a crew where one is named; or that stays off a day."""

    stage: str
    day: date
    crew: str | None = None
    off: bool = False
    """Nobody is sent for it on that day, whoever it is."""


@dataclass(frozen=True, slots=True)
class Supposition:
    """What is taken as so; nothing in it: the branch as it is."""

    wanted: Wanted | None = None
    without_crews: tuple[str, ...] = ()
    """Crews that are away on all days planned."""
    away: tuple[str, ...] = ()
    """People who are away on all days planned."""
    another_like: str | None = None
    """A crew that there is one more of: people, pace, cost, certificates and base."""
    limits: tuple[Limit, ...] = ()
    """In place of the branch's, none looser."""

    @property
    def empty(self) -> bool:
        """Whether nothing is supposed."""
        return self == Supposition()


@dataclass(frozen=True, slots=True)
class Slot:
    """Where a stage stands in a plan."""

    crew: str
    start_on: date
    start_half: Half
    end_on: date
    back_on: date | None = None
    """Of a stage in parts: the day on which its second one starts."""


MoveKind = Literal["moved", "left out", "placed"]


@dataclass(frozen=True, slots=True)
class Move:
    """A stage that stands elsewhere in the second of two plans."""

    stage: str
    job: str
    before: Slot | None
    """None: left out."""
    after: Slot | None
    days_later: int | None
    """Calendar days that it ends later, below 0: earlier; None where it stands in one plan only."""

    @property
    def kind(self) -> MoveKind:
        """In one word."""
        if self.after is None:
            return "left out"
        return "placed" if self.before is None else "moved"

    @property
    def customer_hears(self) -> bool:
        """Whether the customer's day changes; another crew on the same day is ours to know."""
        return (
            self.before is None
            or self.after is None
            or (self.before.start_on, self.before.back_on, self.before.end_on)
            != (self.after.start_on, self.after.back_on, self.after.end_on)
        )


@dataclass(frozen=True, slots=True)
class BrokenPromise:
    """A stage that the second plan ends after its job's promise, or leaves out."""

    stage: str
    job: str
    due_on: date
    ends_on: date | None
    """None: left out."""
    ended_on: date | None
    """In the first plan; None: left out there too."""


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Two plans of the same stages and days, the second held against the first."""

    before_cents: int
    after_cents: int
    parts: Mapping[str, tuple[int, int]]
    """By part of the price: cents before and after."""
    moves: tuple[Move, ...]
    """In the table's order of stages."""
    broken: tuple[BrokenPromise, ...]
    """Promises that the second plan breaks, or breaks by more."""
    unproven_cents: int
    """What one of the two plans may cost too much: price less proven bound, the larger of both."""
    lent: tuple[LentChange, ...] = ()
    """People who go with another crew in the second plan."""
    refused: tuple[Reason, ...] = ()
    """Why what was asked for cannot be; empty: it can."""

    @property
    def cents_more(self) -> int:
        """What the second costs more."""
        return self.after_cents - self.before_cents
