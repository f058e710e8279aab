"""Reads a branch folder or workbook; reports every fault with file, row and column at once."""

from crewplan.intake.faults import Fault, InputFaults
from crewplan.intake.folder import read_folder
from crewplan.intake.published import PLAN_COLUMNS, plan_csv, write_plan

__all__ = ["PLAN_COLUMNS", "Fault", "InputFaults", "plan_csv", "read_folder", "write_plan"]
