"""Crews of neighbouring branches, as text and JSON."""

from typing import Any

from crewplan.model.loan import Loan


def loan_text(loan: Loan, currency: str) -> str:
    """Who comes when, and what for."""
    days = ", ".join(day.isoformat() for day in loan.days)
    return (
        f"Lent by {loan.lender}: crew {loan.own_name} on {days} "
        f"for {loan.cents / 100:,.2f} {currency}, drives and wages apart."
    )


def loan_json(loan: Loan) -> dict[str, Any]:
    """The same, days in ISO form, money as a number."""
    return {
        "crew": loan.crew,
        "lender": loan.lender,
        "own_name": loan.own_name,
        "days": [day.isoformat() for day in loan.days],
        "cost": loan.cents / 100,
    }
