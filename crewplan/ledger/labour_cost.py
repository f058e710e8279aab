"""What work costs by the hours that it comes to."""

from decimal import Decimal
from typing import NamedTuple

from crewplan.ledger.book import Book
from crewplan.model.ledger import Figure, LabourCost, Undefined

NO_COST = Undefined("no hour has a known cost")
NOBODY = Undefined("nobody is in people, so hours still to be worked have no cost")


class Spent(NamedTuple):
    """Loaded cost of some hours, and what planning takes for one."""

    cost: Decimal
    priced_h: float
    """Hours of people whose cost is known."""
    table_hour: Decimal | None
    """Cost of an hour of the table's work; None: unknown."""


NOTHING_SPENT = Spent(Decimal(0), 0.0, None)


def table_hour_cost(book: Book) -> Decimal | None:
    """Loaded cost of an hour of the table's work by the branch's people at their pace."""
    pace = sum((Decimal(str(row.pace)) for row in book.branch.people), Decimal(0))
    cost = sum((Decimal(str(row.cost_per_h)) for row in book.branch.people), Decimal(0))
    return cost / pace if pace else None


def labour_cost(
    spent: Spent, worked_h: float, at_index_h: Figure, left_h: float, at_both_h: Figure
) -> LabourCost:
    """So far, and at completion by the three usual estimates of its hours.

    Args:
        spent: so far.
        worked_h: so far.
        at_index_h: hours at completion at the cost index.
        left_h: planned hours of what is still to be done.
        at_both_h: hours at completion by both indices.
    """
    so_far = float(spent.cost)

    def at_mean(hours: Figure) -> Figure:
        if isinstance(hours, Undefined):
            return hours
        if spent.priced_h == 0:
            return NO_COST
        return so_far + (hours - worked_h) * so_far / spent.priced_h

    table_hour = spent.table_hour
    as_planned = NOBODY if table_hour is None else so_far + left_h * float(table_hour)
    return LabourCost(so_far, at_mean(at_index_h), as_planned, at_mean(at_both_h))
