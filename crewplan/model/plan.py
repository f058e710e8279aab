"""A plan: which placements were picked, what they cost, and why the rest is left out."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Placement, Reason
from crewplan.model.standby import Standby

EngineName = Literal["highs", "cp-sat", "brute force", "rule of thumb"]


@dataclass(frozen=True, slots=True)
class Planned:
    """A picked placement, and whether everything for it is in hand."""

    placement: Placement
    job: str
    firm: bool
    waits_for: tuple[str, ...]
    """What is not in hand yet, in the tables' own words; empty where firm."""
    left_its_place: tuple[Reason, ...] = ()
    """Why it does not stand where it was published for a frozen day, or pinned."""
    calls: tuple[str, ...] = ()
    """Calls to make that stop nothing, such as `customer_confirmed`."""


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A stage that is left out, at what price, and why."""

    stage: str
    job: str
    cents: int
    reasons: tuple[Reason, ...]
    answer_is_no: bool
    """It was promised within the horizon, or published before."""


@dataclass(frozen=True, slots=True)
class PinClash:
    """Published places that contradict each other; without any one of them the others can stay."""

    stages: tuple[str, ...]
    told: str
    """In one sentence, without its full stop."""


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """An answer that the checker has passed. Prices in whole cents; lower is better."""

    horizon: Horizon
    objective: int
    bound: int
    """Proven: no plan costs less."""
    engine: EngineName
    rule_of_thumb: int | None
    """Its price in the same problem; None: not worked out, in a plan that was only repaired."""
    parts: Mapping[str, int]
    """By part of the price, adding up to the objective."""
    planned: tuple[Planned, ...]
    unplaced: tuple[Unplaced, ...]
    done: tuple[str, ...]
    notes: tuple[str, ...] = ()
    pin_clash: PinClash | None = None
    """The fewest pins or frozen places that contradict each other; None: all can stay."""
    standby: tuple[Standby, ...] = ()
    """What crews do where the weather stops roof or lift work; it is in no price."""

    @property
    def gap(self) -> float:
        """(objective - bound) / max(|objective|, one unit of currency)."""
        return (self.objective - self.bound) / max(abs(self.objective), 100)
