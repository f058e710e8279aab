"""Answers about one stage of a plan."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.placement import Keep, Placement, Reason, ReasonKind
from crewplan.model.plan import PinClash, Planned, Unplaced


@dataclass(frozen=True, slots=True)
class OtherPlacement:
    """Where a stage could be instead, all other stages staying where they are."""

    placement: Placement
    cents_more: int
    """Its price less the price of what the plan does with the stage."""
    breaks: tuple[Reason, ...]
    """What it would break in the plan; empty: it fits as it is."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptOut:
    """What keeps a stage out of a plan, tried by solving again."""

    rules: tuple[ReasonKind, ...]
    """The fewest kinds of rule whose waiving lets it in, all else of the plan staying, or in a plan
    made anew; `price` where nothing does but paying for it; empty: no three of them do."""
    placement: Placement | None
    """Where it would go then."""
    cents_less: int
    """What that costs less than leaving it out, all else of the plan staying; 0 where it goes there
    only in a plan made anew."""
    forced_cents: int | None
    """What a plan costs more that places it all the same, by all rules; None: there is none."""
    lost_to: tuple[str, ...]
    """Stages that leave their places in that plan."""
    by_day: tuple[tuple[date, tuple[ReasonKind, ...]], ...]
    """Kinds of rule that keep it out on each day; `price`: it fits, and is dearer than leaving it.
    """
    forced_then_cents: int | None
    """The same as `forced_cents` once the rules are waived; 0: a plan has it by itself."""


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
    kept_out: KeptOut | None = None
    """Of a stage that is left out."""
    pin_clash: PinClash | None = None
    """Of a stage whose published place contradicts others."""
