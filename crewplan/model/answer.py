"""Answers about one stage of a plan."""

from collections.abc import Mapping
from dataclasses import dataclass

from crewplan.model.placement import Keep, Placement, Reason
from crewplan.model.plan import Planned, Unplaced


@dataclass(frozen=True, slots=True)
class OtherPlacement:
    """Where a stage could be instead, all other stages staying where they are."""

    placement: Placement
    cents_more: int
    """Its price less the price of what the plan does with the stage."""
    breaks: tuple[Reason, ...]
    """What it would break in the plan; empty: it fits as it is."""


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """Why a stage is where it is, or why it is left out; neither where it is done."""

    stage: str
    planned: Planned | None
    unplaced: Unplaced | None
    parts: Mapping[str, int]
    """Cents by part of the price, of the placement or of leaving it out; empty where done."""
    keep: Keep | None
    """Where it stays, since it was published for a frozen day or pinned; None where it does not."""
    others: tuple[OtherPlacement, ...]
    """Those that fit first, then by price."""
