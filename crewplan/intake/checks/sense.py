"""What can be used, and still makes one wonder: warnings only."""

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted


def check_sense(tables: Tables, report: Report) -> None:
    """Jobs promised before they may begin, jobs without a stage, roof work without a roof, requests
    both granted and refused.
    """
    for parsed, row in tables.rows("lead_times"):
        if row.values.get("granted_on") and row.values.get("refused_on"):
            report.warn(
                f"{parsed.file}, row {row.number}, column {parsed.column('refused_on')}: "
                f"{quoted(str(row.values['refused_on']))} stands beside granted_on, which counts."
            )
    staged = tables.words("stages", "job")
    roofed = tables.words("planes", "job")
    for parsed, row in tables.rows("jobs"):
        due, earliest = row.values.get("due_on"), row.values.get("earliest_on")
        if due is not None and earliest is not None and due < earliest:
            report.warn(
                f"{parsed.file}, row {row.number}, column {parsed.column('due_on')}: "
                f"{quoted(str(due))} lies before {parsed.column('earliest_on')} {earliest}."
            )
        job = row.values.get("job")
        if job is not None and staged is not None and job not in staged:
            report.warn(
                f"{parsed.file}, row {row.number}, column {parsed.column('job')}: "
                f"{quoted(job)} has no row in the table stages, so that nothing is planned for it."
            )
    for parsed, row in tables.rows("stages"):
        job = row.values.get("job")
        if row.values.get("kind") == "roof" and roofed is not None and job not in roofed:
            report.warn(
                f"{parsed.file}, row {row.number}, column {parsed.column('job')}: "
                f"{quoted(str(job))} has no row in the table planes, so that only the hours that "
                "every roof takes are counted."
            )
