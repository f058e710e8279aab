"""Why a stage is where it is, as text, cells and JSON."""

from typing import Any

from crewplan.model.answer import Answer, OtherPlacement
from crewplan.model.branch import Branch
from crewplan.model.chance import whole_percent
from crewplan.model.horizon import Horizon
from crewplan.publishing.plan_json import reason_json
from crewplan.publishing.plan_text import reason_text, unplaced_text
from crewplan.publishing.terminal import table_text

WHY_COLUMNS = (
    "stage",
    "state",
    "crew",
    "start_on",
    "start_half",
    "half_days",
    "cost_more",
    "breaks",
)


def _state(answer: Answer) -> str:
    if answer.planned is not None:
        return "firm" if answer.planned.firm else "pencilled"
    return "left out" if answer.unplaced is not None else "done"


def _start(horizon: Horizon, cell: int) -> tuple[str, str]:
    return horizon.day_of(cell).isoformat(), horizon.half_of(cell)


def _breaks(other: OtherPlacement) -> str:
    return "; ".join(reason_text(reason) for reason in other.breaks)


def why_cells(horizon: Horizon, answer: Answer) -> list[tuple[str, ...]]:
    """What the plan does first, then other places, in the order of `WHY_COLUMNS`."""
    rows: list[tuple[str, ...]] = []
    if answer.planned is not None:
        placement = answer.planned.placement
        rows.append(
            (answer.stage, _state(answer), placement.crew, *_start(horizon, placement.start),
             str(len(placement.cells)), "0.00", "")
        )  # fmt: skip
    elif answer.unplaced is not None:
        told = "; ".join(reason_text(reason) for reason in answer.unplaced.reasons)
        rows.append((answer.stage, _state(answer), "", "", "", "", "0.00", told))
    else:
        rows.append((answer.stage, _state(answer), "", "", "", "", "", ""))
    rows += [
        (answer.stage, "could be", other.placement.crew, *_start(horizon, other.placement.start),
         str(len(other.placement.cells)), f"{other.cents_more / 100:.2f}", _breaks(other))
        for other in answer.others
    ]  # fmt: skip
    return rows


def why_json(horizon: Horizon, answer: Answer, clock: str) -> dict[str, Any]:
    """One object; money in the branch's currency."""
    placement = answer.planned.placement if answer.planned is not None else None
    return {
        "stage": answer.stage,
        "state": _state(answer),
        "crew": placement and placement.crew,
        "start_on": placement and horizon.day_of(placement.start).isoformat(),
        "start_half": placement and horizon.half_of(placement.start),
        "waits_for": list(answer.planned.waits_for) if answer.planned else [],
        "parts": [{"name": name, "cost": cents / 100} for name, cents in answer.parts.items()],
        "kept": answer.keep is not None,
        "reasons": [reason_json(reason) for reason in answer.unplaced.reasons]
        if answer.unplaced
        else [],
        "others": [
            {
                "crew": other.placement.crew,
                "start_on": horizon.day_of(other.placement.start).isoformat(),
                "start_half": horizon.half_of(other.placement.start),
                "half_days": len(other.placement.cells),
                "cost_more": other.cents_more / 100,
                "breaks": [reason_json(reason) for reason in other.breaks],
            }
            for other in answer.others
        ],
        "clock": clock,
    }


def _what_the_plan_does(horizon: Horizon, answer: Answer, currency: str) -> list[str]:
    if answer.unplaced is not None:
        return [unplaced_text(answer.unplaced)]
    if answer.planned is None:
        return [f"{answer.stage} is done."]
    placement = answer.planned.placement
    day, half = _start(horizon, placement.start)
    lines = [
        f"{answer.stage} is with {placement.crew} from {day} {half}, {len(placement.cells)} "
        f"half-days, {_state(answer)}."
    ]
    if answer.keep is not None:
        held = "pinned by hand" if answer.keep.pinned else "published, and its day is frozen"
        lines.append(f"It stays there: {held}.")
    lines += [
        f"It left its place: {reason_text(reason)}." for reason in answer.planned.left_its_place
    ]
    lines += [f"It waits for {what}." for what in answer.planned.waits_for]
    parts = ", ".join(f"{name} {cents / 100:,.2f}" for name, cents in answer.parts.items())
    lines.append(f"Its price is {placement.cents / 100:,.2f} {currency} ({parts}).")
    lines.append(
        f"Chance that the weather lets it go {whole_percent(placement.p_go)}%, that it is "
        f"finished in time {whole_percent(placement.p_finish)}%, that everything is in hand "
        f"{whole_percent(placement.p_ready)}%."
    )
    return lines


def why_text(branch: Branch, horizon: Horizon, answer: Answer, mark: str) -> str:
    """What the plan does with the stage, and what other places would cost or break."""
    lines = [mark] if mark else []
    lines += _what_the_plan_does(horizon, answer, branch.settings.currency)
    if answer.others:
        lines.append("Elsewhere, all other stages staying where they are:")
        rows = [
            (
                other.placement.crew,
                " ".join(_start(horizon, other.placement.start)),
                str(len(other.placement.cells)),
                f"{other.cents_more / 100:+,.2f}",
                _breaks(other) or "nothing",
            )
            for other in answer.others
        ]
        columns = ("crew", "start", "half-days", f"{branch.settings.currency} more", "breaks")
        lines.append(table_text(columns, rows))
    return "\n".join(lines)
