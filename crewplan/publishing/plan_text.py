"""A plan as text for a terminal."""

from crewplan.model.branch import Branch
from crewplan.model.chance import whole_percent
from crewplan.model.horizon import Horizon
from crewplan.model.parts import PlannedPart, planned_parts
from crewplan.model.placement import Reason
from crewplan.model.plan import Plan, Unplaced
from crewplan.publishing.lent_words import lent_lines
from crewplan.publishing.sentences import sentence
from crewplan.publishing.standby import COLUMNS as STANDBY_COLUMNS
from crewplan.publishing.standby import standby_cells
from crewplan.publishing.terminal import table_text
from crewplan.publishing.visit_words import visit_words
from crewplan.publishing.waiting_words import plain

_COLUMNS = ("day", "crew", "stage", "job", "half-days", "state", "hours", "lost", "chance", "price")


def _share(chance: float) -> str:
    return f"{whole_percent(chance)}%"


def _row(horizon: Horizon, part: PlannedPart) -> tuple[str, ...]:
    planned, placement = part.planned, part.planned.placement
    chance = min(placement.p_go, placement.p_finish) * placement.p_ready
    waits = f"pencilled: {', '.join(planned.waits_for)}" if planned.waits_for else "pencilled"
    return (
        f"{horizon.day_of(placement.start):%a %Y-%m-%d} {horizon.half_of(placement.start)}",
        placement.crew,
        placement.stage,
        planned.job,
        str(len(placement.cells)) + (f", {part.words}" if part.of > 1 else ""),
        "firm" if planned.firm else waits,
        f"{placement.labour_p50_h:.1f}",
        f"{placement.lost_h:.1f}",
        _share(chance),
        f"{placement.cents / 100:,.2f}",
    )


def reason_text(reason: Reason) -> str:
    """One reason in a line; its days last."""
    span = [
        f"{word} {day.isoformat()}"
        for word, day in (("from", reason.from_on), ("until", reason.until_on))
        if day is not None
    ]
    return f"{reason.kind}: {reason.detail}" + (f" ({', '.join(span)})" if span else "")


def unplaced_text(unplaced: Unplaced) -> str:
    """A left-out stage and each of its reasons in a line of its own."""
    flag = "promised or published, " if unplaced.answer_is_no else ""
    head = f"{unplaced.stage} (job {unplaced.job}; {flag}price {unplaced.cents / 100:,.2f})"
    return "\n".join([head, *(f"    {reason_text(reason)}" for reason in unplaced.reasons)])


def _thumb(plan: Plan) -> str:
    return "" if plan.rule_of_thumb is None else f" Rule of thumb: {plan.rule_of_thumb / 100:,.2f}."


def plan_text(branch: Branch, plan: Plan, mark: str) -> str:
    """Who goes where when, what is left out and why, and what it costs."""
    horizon = plan.horizon
    currency = branch.settings.currency
    rows = sorted(
        plan.planned,
        key=lambda item: (item.placement.start, item.placement.crew, item.placement.stage),
    )
    title = (
        f"{branch.settings.name}: {horizon.days[0].isoformat()} to {horizon.days[-1].isoformat()}"
    )
    lines = [mark] if mark else []
    parts = sorted(planned_parts(rows), key=lambda part: part.planned.placement.start)
    lines += [title, table_text(_COLUMNS, (_row(horizon, part) for part in parts))]
    if plan.pin_clash is not None:
        lines.append(sentence(plan.pin_clash.told))
    lines += [
        f"{item.placement.stage} left its place: {reason_text(reason)}"
        for item in rows
        for reason in item.left_its_place
    ]
    lines += [
        f"{item.placement.stage} is on a published day: still to ask for {plain(kind)}"
        for item in rows
        for kind in item.calls
    ]
    lines += [
        sentence(f"{item.placement.stage} {words}")
        for item in rows
        for words in visit_words(item.placement)
    ]
    if lent := lent_lines(branch, plan):
        lines += ["Lent to other crews:", *(f"    {line}" for line in lent)]
    if plan.unplaced:
        lines.append("Left out, and why:")
        lines += [unplaced_text(unplaced) for unplaced in plan.unplaced]
        lines.append("")
    if plan.standby:
        lines += [
            f"Standby where the weather may say no, and what it costs more than waiting "
            f"({currency}):",
            table_text(STANDBY_COLUMNS, standby_cells(plan.standby)),
        ]
    lines += [f"Done already: {', '.join(plan.done)}"] if plan.done else []
    price = ", ".join(f"{name} {cents / 100:,.2f}" for name, cents in plan.parts.items())
    lines += [
        f"Price {plan.objective / 100:,.2f} {currency} ({price}).",
        f"Proven: no plan costs less than {plan.bound / 100:,.2f} (gap {plan.gap:.2%}, "
        f"{plan.engine}).{_thumb(plan)}",
    ]
    lines += [f"note: {note}" for note in plan.notes]
    return "\n".join(lines)
