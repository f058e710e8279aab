"""What a plan changes in the published one, as text and JSON."""

from typing import Any

from crewplan.model.branch import Branch
from crewplan.model.lent import LentChange
from crewplan.model.plan import Plan
from crewplan.model.whatif import Move
from crewplan.publishing.lent_words import change_json, changes_text
from crewplan.publishing.plan_text import reason_text
from crewplan.publishing.terminal import table_text
from crewplan.publishing.whatif_json import move_json
from crewplan.publishing.whatif_text import MOVE_COLUMNS, move_cells, tell_whom

NOT_PUBLISHED = "not published"


def diff_json(moves: tuple[Move, ...], lent: tuple[LentChange, ...], clock: str) -> dict[str, Any]:
    """`before` is as published."""
    return {
        "moves": [move_json(move) for move in moves],
        "lent": [change_json(change) for change in lent],
        "clock": clock,
    }


def diff_text(
    branch: Branch,
    plan: Plan,
    moves: tuple[Move, ...],
    lent: tuple[LentChange, ...],
    mark: str,
) -> str:
    """Moves against the published plan, why stages leave it, people lent, who must be told."""
    lines = [mark] if mark else []
    days = plan.horizon.days
    span = f"{days[0].isoformat()} to {days[-1].isoformat()}"
    if "plan" not in branch.present:
        return "\n".join([*lines, "Nothing is published yet."])
    if not moves and not lent:
        return "\n".join([*lines, f"A plan made now, {span}, is as published."])
    lines.append(f"A plan made now, {span}, against the published one:")
    if moves:
        lines.append(table_text(MOVE_COLUMNS, move_cells(moves, NOT_PUBLISHED)))
    gone = {move.stage for move in moves if move.before is not None}
    reasons = {out.stage: out.reasons for out in plan.unplaced}
    reasons |= {item.placement.stage: item.left_its_place for item in plan.planned}
    lines += [
        f"{stage}: {reason_text(reason)}"
        for stage, why in reasons.items()
        if stage in gone
        for reason in why
    ]
    return "\n".join([*lines, *tell_whom(branch, moves), *changes_text(branch, lent)])
