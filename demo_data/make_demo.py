"""Writes every table of the invented company: `python demo_data/make_demo.py [FOLDER]`.

The same bytes come out of every run: all dice are seeded, and no clock is read. README.md and
branch.toml are written by hand and stay as they are.
"""

import sys
from pathlib import Path

import made_jobs
import made_people
import made_plan
import made_record
import made_roofs
import made_store
import made_waiting
import made_weather
from invented import Row, csv_bytes

Tables = dict[str, tuple[tuple[str, ...], list[Row]]]


def tables() -> Tables:
    """Columns and rows of every table, by name."""
    jobs, planes = made_jobs.jobs_and_planes()
    hours_worked, progress = made_record.record(planes)
    requirements = made_waiting.requirements(jobs, made_plan.CONFIRMED)
    return {
        "crews": (made_people.CREW_COLUMNS, made_people.crews()),
        "people": (made_people.PEOPLE_COLUMNS, made_people.people()),
        "certificates": (made_people.CERTIFICATE_COLUMNS, made_people.certificates()),
        "absences": (made_people.ABSENCE_COLUMNS, made_people.absences()),
        "jobs": (made_jobs.JOB_COLUMNS, jobs),
        "planes": (made_roofs.PLANE_COLUMNS, planes),
        "stages": (made_jobs.STAGE_COLUMNS, made_jobs.stages(jobs)),
        "requirements": (made_waiting.REQUIREMENT_COLUMNS, requirements),
        "lead_times": (made_waiting.LEAD_TIME_COLUMNS, made_waiting.lead_times()),
        "inspections": (made_waiting.INSPECTION_COLUMNS, made_waiting.inspections()),
        "authorities": (made_waiting.AUTHORITY_COLUMNS, made_waiting.authorities()),
        "weather": (made_weather.COLUMNS, made_weather.forecast()),
        "weather_past": (made_weather.COLUMNS, made_weather.past()),
        "hours_worked": (made_record.HOURS_COLUMNS, hours_worked),
        "progress": (made_record.PROGRESS_COLUMNS, progress),
        "plan": (made_plan.COLUMNS, made_plan.plan()),
    } | made_store.tables()


def write(folder: Path) -> None:
    """Writes all tables into a folder that exists."""
    for name, (columns, rows) in tables().items():
        (folder / f"{name}.csv").write_bytes(csv_bytes(columns, rows))


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
