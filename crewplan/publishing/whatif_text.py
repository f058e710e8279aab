"""What a supposition would change, as text for a terminal."""

from collections.abc import Mapping

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job
from crewplan.model.whatif import BrokenPromise, Comparison, Move, Slot, Supposition
from crewplan.publishing.lent_words import changes_text
from crewplan.publishing.plan_text import reason_text
from crewplan.publishing.reader import decimal
from crewplan.publishing.terminal import table_text

MOVE_COLUMNS = ("stage", "job", "how", "before", "after", "ends later", "customer hears")


def supposed_words(supposition: Supposition) -> str:
    """What is supposed, in one line."""
    told = []
    if (wanted := supposition.wanted) is not None:
        crew = f" with {wanted.crew}" if wanted.crew else ""
        told.append(f"{wanted.stage} starts on {wanted.day.isoformat()}{crew}")
    told += [f"crew {crew} is away" for crew in supposition.without_crews]
    told += [f"{person} is away" for person in supposition.away]
    if supposition.another_like is not None:
        told.append(f"there is one more crew like {supposition.another_like}")
    told += [f"{row.exposure} is held to {row.source}" for row in supposition.limits]
    return " and ".join(told)


def slot_words(slot: Slot | None, nowhere: str) -> str:
    """Crew and days."""
    if slot is None:
        return nowhere
    until = "" if slot.end_on == slot.start_on else f" to {slot.end_on.isoformat()}"
    back = "" if slot.back_on is None else f", back on {slot.back_on.isoformat()}"
    return f"{slot.crew}, {slot.start_on.isoformat()} {slot.start_half}{back}{until}"


def move_cells(moves: tuple[Move, ...], not_before: str = "left out") -> list[tuple[str, ...]]:
    """A row a move, in the order of MOVE_COLUMNS; `not_before`: for what the first plan lacks."""
    return [
        (
            move.stage,
            move.job,
            move.kind,
            slot_words(move.before, not_before),
            slot_words(move.after, "left out"),
            "" if move.days_later is None else f"{move.days_later:+d} d",
            "yes" if move.customer_hears else "no",
        )
        for move in moves
    ]


def _broken(promise: BrokenPromise) -> str:
    after = "is left out" if promise.ends_on is None else f"ends on {promise.ends_on.isoformat()}"
    before = "" if promise.ended_on is None else f", before on {promise.ended_on.isoformat()}"
    return (
        f"{promise.stage} (job {promise.job}) {after}{before}; "
        f"promised by {promise.due_on.isoformat()}."
    )


def tell_whom(branch: Branch, moves: tuple[Move, ...]) -> list[str]:
    """Whom the moves concern, each customer once; empty: nobody."""
    jobs: Mapping[str, Job] = {job.job: job for job in branch.jobs}
    told: dict[str, list[str]] = {}
    for move in moves:
        if move.customer_hears:
            told.setdefault(move.job, []).append(move.stage)
    lines = []
    for job, stages in told.items():
        row = jobs[job]
        name = row.contact or row.customer or f"the customer of {job}"
        phone = f" ({row.phone})" if row.phone else ""
        lines.append(f"  {name}{phone}: {', '.join(stages)}")
    return ["To be told of another day, if it is published like this:", *lines] if lines else []


def moves_text(branch: Branch, comparison: Comparison) -> list[str]:
    """Moves, promises that break, people lent, and who would have to be told."""
    lent = changes_text(branch, comparison.lent)
    if not comparison.moves:
        return ["Nothing moves.", *lent]
    lines = [table_text(MOVE_COLUMNS, move_cells(comparison.moves))]
    if comparison.broken:
        lines.append("Promises that break, or break by more:")
        lines += [f"  {_broken(promise)}" for promise in comparison.broken]
    return [*lines, *tell_whom(branch, comparison.moves), *lent]


def parts_words(comparison: Comparison) -> list[str]:
    """By how much each part of the price differs, in a sentence; none where none does."""
    parts = [
        f"{name} {decimal((after - before) / 100, 2, signed=True)}"
        for name, (before, after) in comparison.parts.items()
        if after != before
    ]
    return [f"By part: {', '.join(parts)}."] if parts else []


def whatif_text(branch: Branch, supposition: Supposition, comparison: Comparison, mark: str) -> str:
    """The difference in price, then what moves; nothing is published by asking."""
    currency = branch.settings.currency
    lines = [mark] if mark else []
    lines.append(f"Suppose that {supposed_words(supposition)}.")
    if comparison.refused:
        lines.append("That cannot be:")
        lines += [f"  {reason_text(reason)}" for reason in comparison.refused]
        return "\n".join(lines)
    lines.append(
        f"The plan costs {comparison.cents_more / 100:+,.2f} {currency} "
        f"({comparison.after_cents / 100:,.2f} in place of {comparison.before_cents / 100:,.2f})."
    )
    if abs(comparison.cents_more) < comparison.unproven_cents:
        lines.append(
            f"That is less than the {comparison.unproven_cents / 100:,.2f} that the solver left "
            "unproven; more --seconds may tell the two apart."
        )
    lines += parts_words(comparison)
    lines += moves_text(branch, comparison)
    return "\n".join(lines)
