"""Hours as rows of CSV: exact figures, without a total, so that sums of a column are right."""

from collections.abc import Iterable
from decimal import Decimal

from crewplan.model.ledger import By, HoursLine, HoursRecord
from crewplan.publishing.sheets import Sheet

_CENT = Decimal("0.01")


def hours_columns(by: By) -> tuple[str, ...]:
    """The first is what the lines are."""
    return (by, "worked_h", "productive_h", "lost_h", "earned_h", "cost")


def exact_hours(hours: Decimal) -> str:
    """All of its digits and no more: '12.6'."""
    return f"{hours.normalize():f}"


def exact_money(amount: Decimal) -> str:
    """All of its digits, at least two after the point: '45.00', '1234.5075'."""
    if amount == amount.quantize(_CENT):
        return f"{amount.quantize(_CENT):f}"
    return f"{amount.normalize():f}"


def hours_sheet(record: HoursRecord) -> Sheet:
    """The lines as a table."""
    columns = hours_columns(record.by)
    return Sheet(
        f"hours by {record.by}", columns, hours_cells(record.lines), frozenset(columns[:1])
    )


def hours_cells(lines: Iterable[HoursLine]) -> list[tuple[str, ...]]:
    """One row a line."""
    return [
        (
            line.name,
            exact_hours(line.worked_h),
            exact_hours(line.productive_h),
            exact_hours(line.lost_h),
            exact_hours(line.earned_h),
            exact_money(line.cost),
        )
        for line in lines
    ]
