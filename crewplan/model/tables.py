"""Which tables a branch folder holds: row type, key, references and what must be there."""

from dataclasses import dataclass
from typing import Any, Literal

from crewplan.model import (
    error_rows,
    job_rows,
    limit_row,
    material_rows,
    people_rows,
    plan_row,
    waiting_rows,
    weather_table,
    work_rows,
)


@dataclass(frozen=True, slots=True)
class Reference:
    """A column whose every value, if it has one, must stand in a column of a table."""

    column: str
    table: str
    target: str
    unknown: Literal["fault", "left out", "kept"] = "fault"
    """What happens to a row whose word is not there; the last two with a warning."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the branch folder."""

    name: str
    row: type[Any]
    key: tuple[str, ...]
    about: str
    required: bool = False
    package_rows: bool = False
    """The package has rows of its own; a folder's row of the same key replaces them."""
    references: tuple[Reference, ...] = ()


_JOB = Reference("job", "jobs", "job")
_STAGE = Reference("stage", "stages", "stage")
_STEP = Reference("step", "steps", "step", "left out")
_STEP_OF_RECORD = Reference("step", "steps", "step", "kept")
_PERSON_OF_RECORD = Reference("person", "people", "person", "kept")
_PERSON = Reference("person", "people", "person")

TABLES: tuple[Table, ...] = (
    Table(
        "people",
        people_rows.Person,
        ("person",),
        "who works on site",
        True,
        references=(Reference("crew", "crews", "crew"),),
    ),
    Table(
        "certificates",
        people_rows.Certificate,
        ("person", "certificate"),
        "who may do what, until when",
        references=(_PERSON,),
    ),
    Table(
        "absences",
        people_rows.Absence,
        ("person", "first_day"),
        "who is away",
        references=(_PERSON,),
    ),
    Table("crews", people_rows.Crew, ("crew",), "who drives out together", True),
    Table("jobs", job_rows.Job, ("job",), "customers' systems", True),
    Table(
        "planes",
        job_rows.Plane,
        ("job", "plane"),
        "roof planes with an array",
        True,
        references=(
            _JOB,
            Reference("module", "modules", "module"),
            Reference("racking", "racking", "racking"),
        ),
    ),
    Table("modules", job_rows.Module, ("module",), "kinds of module", package_rows=True),
    Table("racking", job_rows.Racking, ("racking",), "kinds of rail", package_rows=True),
    Table(
        "stages",
        job_rows.Stage,
        ("stage",),
        "what crews are sent for",
        True,
        references=(_JOB, Reference("after", "stages", "stage")),
    ),
    Table(
        "steps",
        work_rows.Step,
        ("step",),
        "pieces of a stage",
        package_rows=True,
        references=(Reference("after", "steps", "step"),),
    ),
    Table(
        "rates",
        work_rows.Rate,
        ("step", "driver"),
        "hours a unit",
        package_rows=True,
        references=(_STEP,),
    ),
    Table(
        "factors",
        work_rows.Factor,
        ("step", "condition"),
        "what changes the hours",
        package_rows=True,
        references=(_STEP,),
    ),
    Table(
        "requirements",
        waiting_rows.Requirement,
        ("job", "kind"),
        "what jobs wait for",
        True,
        references=(_JOB,),
    ),
    Table("lead_times", waiting_rows.LeadTime, (), "how long past requests took"),
    Table("inspections", waiting_rows.Inspection, (), "how inspections of the past ended"),
    Table("authorities", waiting_rows.Authority, ("authority",), "who permits and inspects"),
    Table(
        "items",
        material_rows.Item,
        ("item",),
        "what is bought and kept",
        references=(Reference("substitutes", "items", "item", "kept"),),
    ),
    Table("stock", material_rows.Stock, ("item",), "what is on hand"),
    Table("arrivals", material_rows.Arrival, (), "what is on order"),
    Table("equipment", material_rows.Equipment, ("equipment",), "what all crews share"),
    Table("limits", limit_row.Limit, ("exposure", "measure", "effect"), "weather limits"),
    Table("weather", weather_table.WeatherRow, ("place", "valid_at", "member"), "forecast", True),
    Table("weather_past", weather_table.WeatherRow, ("place", "valid_at"), "observed weather"),
    Table(
        "forecast_errors",
        error_rows.ForecastError,
        ("measure", "lead_h"),
        "what kept forecasts were worth; crewplan weather --learn writes it",
    ),
    Table(
        "hours_worked",
        work_rows.HoursWorked,
        (),
        "hours spent",
        references=(_STAGE, _STEP_OF_RECORD, _PERSON_OF_RECORD),
    ),
    Table(
        "progress",
        work_rows.Progress,
        ("day", "stage", "step"),
        "what is done",
        references=(_STAGE, _STEP),
    ),
    Table(
        "plan",
        plan_row.PlanRow,
        ("stage", "part"),
        "the published plan",
        references=(_STAGE, Reference("crew", "crews", "crew")),
    ),
)

BY_NAME: dict[str, Table] = {table.name: table for table in TABLES}
