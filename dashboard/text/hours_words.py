"""Sentences of the owner's page."""

from crewplan.publishing.reader import decimal
from crewplan.running.board_view import BoardView
from dashboard.tables.hours_sums import crew_hours, job_hours, lost_by_cause
from dashboard.text.chances import count_words, hours_words


def expected_words(view: BoardView) -> str:
    """What is placed, what of it weather is expected to cost, and what is left."""
    rows = job_hours(view)
    placed = sum(row.placed for row in rows)
    lost = sum(row.expected_lost for row in rows)
    left = sum(row.left for row in rows)
    days = count_words(len(view.plan.horizon.days), "working day")
    if not placed:
        return f"No work is placed in the next {days}; {hours_words(left)} are left to do."
    return (
        f"In the next {days} {hours_words(placed)} of work are placed, of {hours_words(left)} left."
        f" Weather is expected to cost {hours_words(lost)} on top"
        f" ({decimal(lost / placed * 100, 1)} %);"
        " no other cause is foreseen by the plan."
    )


def so_far_words(view: BoardView) -> str:
    """What was worked and lost so far."""
    rows = crew_hours(view)
    good = sum(row.worked for row in rows)
    lost = sum(hours for _, hours in lost_by_cause(view))
    if not view.worked().of_people:
        return "No hours have been written down yet: the table hours_worked is missing or empty."
    if not lost:
        return f"{hours_words(good)} worked so far, none written down as lost."
    return (
        f"{hours_words(good)} worked so far and {hours_words(lost)} lost:"
        f" {decimal(lost / (good + lost) * 100, 0)} of every 100 hours paid."
    )
