"""Crews lent between branches, recounted from the plans alone."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from crewplan.model.loan import Loan
from crewplan.model.plan import Plan


def days_worked(plan: Plan, crew: str) -> set[date]:
    """Days on which a plan has something for a crew."""
    return {
        plan.horizon.day_of(cell)
        for planned in plan.planned
        if planned.placement.crew == crew
        for cell in planned.placement.cells
    }


def loans_at_fault(
    plans: Mapping[str, Plan], loans: Mapping[str, Sequence[Loan]], per_day: Mapping[str, int]
) -> Iterator[str]:
    """What is wrong with the loans between branches, one sentence each.

    Args:
        plans: by branch, loans made.
        loans: by the branch that borrows.
        per_day: cents for a crew's day, by the branch that lends.
    """
    sent: Counter[tuple[str, str, date]] = Counter()
    for borrower, coming in loans.items():
        plan = plans[borrower]
        for loan in coming:
            worked = days_worked(plan, loan.crew)
            if worked != set(loan.days) or not worked:
                yield f"loan: {loan.crew} works on other days at {borrower} than are told"
            at_home = days_worked(plans[loan.lender], loan.own_name) & worked
            for day in sorted(at_home):
                yield f"loan: {loan.own_name} of {loan.lender} has work at home on {day}"
            sent.update((loan.lender, loan.own_name, day) for day in worked)
            halves = sum(
                len(planned.placement.cells)
                for planned in plan.planned
                if planned.placement.crew == loan.crew
            )
            if 2 * loan.cents != halves * per_day[loan.lender]:
                yield f"loan: {loan.crew} costs {borrower} another amount"
        if sum(loan.cents for loan in coming) != plan.parts.get("crew of a neighbour", 0):
            yield f"loan: {borrower} pays another amount for crews than its loans add up to"
    for (lender, crew, day), times in sent.items():
        if times > 1:
            yield f"loan: {crew} of {lender} is sent to {times} branches on {day}"
