"""What must hold between rows and between tables; each check is one function."""

from crewplan.intake.checks.keys import check_keys
from crewplan.intake.checks.offices import check_offices
from crewplan.intake.checks.order import check_circles
from crewplan.intake.checks.references import check_references
from crewplan.intake.checks.sense import check_sense
from crewplan.intake.checks.shares import check_shares
from crewplan.intake.checks.times import check_times
from crewplan.intake.checks.words import check_conditions

CHECKS = (
    check_conditions,
    check_keys,
    check_references,
    check_times,
    check_shares,
    check_circles,
    check_offices,
    check_sense,
)

__all__ = ["CHECKS"]
