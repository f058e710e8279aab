"""Tables of the owner's page, as it shows them and as it hands them out."""

from collections.abc import Callable, Mapping
from decimal import Decimal

from crewplan.model.owner import OwnerView
from crewplan.publishing.expected_text import EXPECTED_COLUMNS, EXPECTED_WORDS, expected_sheet
from crewplan.publishing.findings_text import findings_sheet
from crewplan.publishing.margins_text import STATES, WATERFALL, margins_sheet
from crewplan.publishing.sheets import Sheet, cell_text


def waterfall_sheet(look: OwnerView) -> Sheet:
    """All jobs with hours in the span together: a row a part of the way from price to margin."""
    falls = (look.planned, look.now, look.at_completion)
    rows = [
        (part, *(cell_text(Decimal(getattr(fall, part)) / 100) for fall in falls))
        for part, _ in WATERFALL
    ]
    columns = ("part", *(state for state, _ in STATES))
    return Sheet("all jobs together", columns, rows, frozenset({"part"}))


def lost_causes(look: OwnerView) -> tuple[str, ...]:
    """Causes of the span, the one that cost most first; of equal ones by name."""
    total: dict[str, Decimal] = {}
    for one in look.lost:
        for cause, cost in one.cost.items():
            total[cause] = total.get(cause, Decimal(0)) + cost
    return tuple(sorted(total, key=lambda cause: (-total[cause], cause)))


def lost_sheet(look: OwnerView) -> Sheet:
    """A row a week or month: hours worked, then hours and money lost for each cause."""
    causes = lost_causes(look)
    none = Decimal(0)
    columns = (look.step, "worked_h", *(f"{c}_h" for c in causes), *(f"{c}_cost" for c in causes))
    rows = [
        (
            one.name,
            cell_text(one.worked_h),
            *(cell_text(one.hours.get(cause, none)) for cause in causes),
            *(cell_text(one.cost.get(cause, none)) for cause in causes),
        )
        for one in look.lost
    ]
    return Sheet("lost over time", columns, rows, frozenset({look.step}))


def pace_sheet(look: OwnerView) -> Sheet:
    """A row a job: hours that the work done was planned with, and hours worked."""
    columns = ("job", "planned_h_of_work_done", "worked_h", "times", "stands_out")
    rows = [
        (one.job, repr(one.earned_h), repr(one.worked_h), repr(one.times), one.outlier)
        for one in look.paces
    ]
    return Sheet("plan against actual", columns, rows, frozenset({"job", "stands_out"}))


def planning_sheet(look: OwnerView) -> Sheet:
    """A row a bin of chances that plans told; none where none are kept."""
    if look.expected is None:
        return Sheet("expected", EXPECTED_COLUMNS, [], EXPECTED_WORDS)
    return expected_sheet(look.expected)


EXPORTS: Mapping[str, Callable[[OwnerView], Sheet]] = {
    "all-jobs": waterfall_sheet,
    "lost": lost_sheet,
    "plan-and-actual": pace_sheet,
    "margins": lambda look: margins_sheet(look.record),
    "what-to-change": lambda look: findings_sheet(look.changes),
    "planning": planning_sheet,
}
"""By the name in an export's address."""
