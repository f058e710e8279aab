"""Why a stage is where it is, as text, cells and JSON."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from crewplan.model.answer import Answer, KeptOut, OtherPlacement
from crewplan.model.branch import Branch
from crewplan.model.chance import whole_percent
from crewplan.model.horizon import Horizon
from crewplan.model.parts import placement_parts
from crewplan.model.placement import Placement, ReasonKind
from crewplan.placing.removals import words as listed
from crewplan.publishing.plan_json import reason_json
from crewplan.publishing.plan_text import reason_text, unplaced_text
from crewplan.publishing.sentences import sentence
from crewplan.publishing.terminal import table_text
from crewplan.publishing.visit_words import visit_words

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


_RULE_WORDS: Mapping[ReasonKind, str] = {"overtime": "the limit of overtime"}
"""Where a rule's own name would read as what it limits."""


def _state(answer: Answer) -> str:
    if answer.planned is not None:
        return "firm" if answer.planned.firm else "pencilled"
    return "left out" if answer.unplaced is not None else "done"


def _start(horizon: Horizon, cell: int) -> tuple[str, str]:
    return horizon.day_of(cell).isoformat(), horizon.half_of(cell)


def half_days_words(placement: Placement) -> str:
    """'4'; of a stage in two parts '2 + 2'."""
    return " + ".join(str(len(part.cells)) for part in placement_parts(placement))


def _breaks(other: OtherPlacement) -> str:
    return "; ".join(reason_text(reason) for reason in other.breaks)


def why_cells(horizon: Horizon, answer: Answer) -> list[tuple[str, ...]]:
    """What the plan does first, then other places, in the order of `WHY_COLUMNS`."""
    rows: list[tuple[str, ...]] = []
    if answer.planned is not None:
        placement = answer.planned.placement
        rows.append(
            (answer.stage, _state(answer), placement.crew, *_start(horizon, placement.start),
             half_days_words(placement), "0.00", "")
        )  # fmt: skip
    elif answer.unplaced is not None:
        told = "; ".join(reason_text(reason) for reason in answer.unplaced.reasons)
        rows.append((answer.stage, _state(answer), "", "", "", "", "0.00", told))
    else:
        rows.append((answer.stage, _state(answer), "", "", "", "", "", ""))
    rows += [
        (answer.stage, "could be", other.placement.crew, *_start(horizon, other.placement.start),
         half_days_words(other.placement), f"{other.cents_more / 100:.2f}", _breaks(other))
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
                "part_starts": [list(_start(horizon, c)) for c in other.placement.part_starts],
                "cost_more": other.cents_more / 100,
                "breaks": [reason_json(reason) for reason in other.breaks],
            }
            for other in answer.others
        ],
        "clashing_pins": answer.pin_clash
        and {"stages": list(answer.pin_clash.stages), "told": answer.pin_clash.told},
        "kept_out": answer.kept_out and _kept_out_json(horizon, answer.kept_out),
        "clock": clock,
    }


def _kept_out_json(horizon: Horizon, kept: KeptOut) -> dict[str, Any]:
    other = kept.placement

    def money(cents: int | None) -> float | None:
        return None if cents is None else cents / 100

    return {
        "rules": list(kept.rules),
        "crew": other and other.crew,
        "start_on": other and horizon_day(horizon, other.start),
        "start_half": other and ("pm" if other.start % 2 else "am"),
        "costs_less": kept.cents_less / 100,
        "forced_costs_more": money(kept.forced_cents),
        "forced_then_costs_more": money(kept.forced_then_cents),
        "lost_to": list(kept.lost_to),
        "by_day": [{"day": day.isoformat(), "rules": list(kinds)} for day, kinds in kept.by_day],
    }


def horizon_day(horizon: Horizon, cell: int) -> str:
    """The day of a half-day; where it lies after the days planned, the last of them and a +."""
    if cell // 2 < len(horizon.days):
        return horizon.day_of(cell).isoformat()
    return f"{horizon.days[-1].isoformat()}+"


def _spans(kept: KeptOut) -> list[str]:
    """Days in a row that the same rules keep out, in a line each."""
    runs: list[tuple[date, date, tuple[ReasonKind, ...]]] = []
    for day, kinds in kept.by_day:
        if runs and runs[-1][2] == kinds:
            runs[-1] = runs[-1][0], day, kinds
        else:
            runs.append((day, day, kinds))
    return [
        f"    {first.isoformat()}{'' if first == last else f' to {last.isoformat()}'}: "
        f"{', '.join(_RULE_WORDS.get(kind, kind) for kind in kinds)}"
        for first, last, kinds in runs
    ]


def _kept_out(horizon: Horizon, kept: KeptOut, currency: str) -> list[str]:
    lines: list[str] = []
    rules = listed([_RULE_WORDS.get(kind, kind) for kind in kept.rules])
    if kept.placement is not None:
        at = kept.placement
        where = f"{at.crew} from {horizon_day(horizon, at.start)} {'pm' if at.start % 2 else 'am'}"
        alone = "alone" if len(kept.rules) == 1 else "together"
        if kept.cents_less > 0:
            then = f"it would go to {where}, for {kept.cents_less / 100:,.2f} {currency} less"
        elif kept.forced_then_cents:
            then = (
                f"placing it (with {where}) would cost {kept.forced_then_cents / 100:,.2f} "
                f"{currency} more"
            )
        else:
            then = f"a plan made anew would have it with {where}"
        lines.append(f"Kept out by {rules} {alone}: without that, {then} (tried).")
    if kept.forced_cents is not None:
        lost = f"; it loses to {', '.join(kept.lost_to)}" if kept.lost_to else ""
        lines.append(
            f"By all rules, a plan that has it costs {kept.forced_cents / 100:,.2f} {currency} "
            f"more{lost} (tried)."
        )
    else:
        lines.append("By all rules, there is no plan of these days that has it.")
    return [*lines, "What keeps it out, by day:", *_spans(kept)]


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
    lines += [
        f"Part {number} of {len(placement.parts)} starts on {' '.join(_start(horizon, cell))}: the "
        "crew leaves it open in between."
        for number, cell in enumerate(placement.part_starts[1:], start=2)
    ]
    if answer.keep is not None:
        held = "pinned by hand" if answer.keep.pinned else "published, and its day is frozen"
        lines.append(f"It stays there: {held}.")
    lines += [
        f"It left its place: {reason_text(reason)}." for reason in answer.planned.left_its_place
    ]
    lines += [f"It waits for {what}." for what in answer.planned.waits_for]
    lines += [f"It {words}." for words in visit_words(placement)]
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
    if answer.pin_clash is not None:
        lines.append(sentence(answer.pin_clash.told))
    if answer.kept_out is not None:
        lines += _kept_out(horizon, answer.kept_out, branch.settings.currency)
    if answer.others:
        lines.append("Elsewhere, all other stages staying where they are:")
        rows = [
            (
                other.placement.crew,
                " ".join(_start(horizon, other.placement.start)),
                half_days_words(other.placement),
                f"{other.cents_more / 100:+,.2f}",
                _breaks(other) or "nothing",
            )
            for other in answer.others
        ]
        columns = ("crew", "start", "half-days", f"{branch.settings.currency} more", "breaks")
        lines.append(table_text(columns, rows))
    return "\n".join(lines)
