"""What a supposition would change, as JSON."""

from typing import Any

from crewplan.model.whatif import Comparison, Move, Slot, Supposition
from crewplan.publishing.lent_words import change_json
from crewplan.publishing.plan_json import reason_json
from crewplan.publishing.whatif_text import supposed_words


def _slot(slot: Slot | None) -> dict[str, Any] | None:
    if slot is None:
        return None
    return {
        "crew": slot.crew,
        "start_on": slot.start_on.isoformat(),
        "start_half": slot.start_half,
        "back_on": slot.back_on and slot.back_on.isoformat(),
        "end_on": slot.end_on.isoformat(),
    }


def move_json(move: Move) -> dict[str, Any]:
    """One stage that stands elsewhere; `before` and `after` are null where it is left out."""
    return {
        "stage": move.stage,
        "job": move.job,
        "how": move.kind,
        "before": _slot(move.before),
        "after": _slot(move.after),
        "days_later": move.days_later,
        "customer_hears": move.customer_hears,
    }


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """Prices in the branch's currency."""
    return {
        "price_before": comparison.before_cents / 100,
        "price_after": comparison.after_cents / 100,
        "costs_more": comparison.cents_more / 100,
        "unproven": comparison.unproven_cents / 100,
        "parts": [
            {"name": name, "before": before / 100, "after": after / 100}
            for name, (before, after) in comparison.parts.items()
        ],
        "moves": [move_json(move) for move in comparison.moves],
        "lent": [change_json(change) for change in comparison.lent],
        "promises_broken": [
            {
                "stage": promise.stage,
                "job": promise.job,
                "due_on": promise.due_on.isoformat(),
                "ends_on": promise.ends_on and promise.ends_on.isoformat(),
                "ended_on": promise.ended_on and promise.ended_on.isoformat(),
            }
            for promise in comparison.broken
        ],
    }


def whatif_json(supposition: Supposition, comparison: Comparison, clock: str) -> dict[str, Any]:
    """`possible` false: `reasons` says why, and both plans are the one as things are."""
    return {
        "supposed": supposed_words(supposition),
        "possible": not comparison.refused,
        "reasons": [reason_json(reason) for reason in comparison.refused],
        **comparison_json(comparison),
        "clock": clock,
    }
