"""The holidays that an authority keeps."""

from crewplan.intake.checks.tables import Tables, fault_at
from crewplan.intake.faults import Report, quoted
from crewplan.intake.holiday_names import unknown_holidays


def check_offices(tables: Tables, report: Report) -> None:
    """Countries and states as the holidays package has them; a state alone is of no country."""
    for parsed, row in tables.rows("authorities"):
        country = row.values.get("holidays_country", "")
        subdivision = row.values.get("holidays_subdivision", "")
        if not country:
            if subdivision:
                wish = f"{parsed.column('holidays_country')} beside it"
                problem = f"{quoted(subdivision)} stands without its country"
                fault_at(parsed, row, "holidays_subdivision", wish, problem, report)
            continue
        bad = unknown_holidays(country, subdivision)
        if bad is not None:
            which, wish = bad
            value = country if which == "country" else subdivision
            fault_at(
                parsed, row, f"holidays_{which}", wish, f"{quoted(value)} is not known", report
            )
