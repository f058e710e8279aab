"""What a folder holds, counted."""

from crewplan.model.branch import Branch
from crewplan.model.tables import TABLES


def check_summary(branch: Branch) -> dict[str, int]:
    """Rows by table, for the tables that the folder has."""
    return {
        table.name: len(getattr(branch, table.name))
        for table in TABLES
        if table.name in branch.present
    }
