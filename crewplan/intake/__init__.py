"""Reads a branch folder or workbook; reports every fault with file, row and column at once."""

from crewplan.intake.faults import Fault, InputFaults
from crewplan.intake.folder import OwnTables, branch_of, read_folder, read_own_tables
from crewplan.intake.published import PLAN_COLUMNS, plan_csv, write_plan

__all__ = [
    "PLAN_COLUMNS",
    "Fault",
    "InputFaults",
    "OwnTables",
    "branch_of",
    "plan_csv",
    "read_folder",
    "read_own_tables",
    "write_plan",
]
