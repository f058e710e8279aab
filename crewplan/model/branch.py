"""A whole branch folder, read and checked."""

from dataclasses import dataclass, field

from crewplan.model.error_rows import ForecastError
from crewplan.model.job_rows import Job, Module, Plane, Racking, Stage
from crewplan.model.limit_row import Limit
from crewplan.model.material_rows import Arrival, Equipment, Item, Stock
from crewplan.model.people_rows import Absence, Certificate, Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.settings import Settings
from crewplan.model.waiting_rows import Authority, Inspection, LeadTime, Requirement
from crewplan.model.weather_table import WeatherTable
from crewplan.model.work_rows import Factor, HoursWorked, Progress, Rate, Step


@dataclass(frozen=True, slots=True, eq=False)
class Branch:
    """All tables of a folder, in the folder's own row order, with the package's rows merged in.

    `present` names the tables that the folder has, so that 'no row' and 'no table' stay apart.
    `limits` are the folder's own rows and `package_limits` the package's: the gate merges them,
    since it must name what was changed.
    """

    settings: Settings
    present: frozenset[str]
    people: tuple[Person, ...]
    crews: tuple[Crew, ...]
    jobs: tuple[Job, ...]
    planes: tuple[Plane, ...]
    stages: tuple[Stage, ...]
    requirements: tuple[Requirement, ...]
    weather: WeatherTable
    weather_past: WeatherTable
    modules: tuple[Module, ...]
    racking: tuple[Racking, ...]
    steps: tuple[Step, ...]
    rates: tuple[Rate, ...]
    factors: tuple[Factor, ...]
    package_limits: tuple[Limit, ...]
    limits: tuple[Limit, ...] = ()
    certificates: tuple[Certificate, ...] = ()
    absences: tuple[Absence, ...] = ()
    lead_times: tuple[LeadTime, ...] = ()
    inspections: tuple[Inspection, ...] = ()
    authorities: tuple[Authority, ...] = ()
    items: tuple[Item, ...] = ()
    stock: tuple[Stock, ...] = ()
    arrivals: tuple[Arrival, ...] = ()
    equipment: tuple[Equipment, ...] = ()
    hours_worked: tuple[HoursWorked, ...] = ()
    progress: tuple[Progress, ...] = ()
    plan: tuple[PlanRow, ...] = ()
    forecast_errors: tuple[ForecastError, ...] = ()
    warnings: tuple[str, ...] = field(default=())
    """One sentence each, as `check` prints them."""
    finished: tuple[str, ...] = ()
    """Done stages whose rows were not read, since all of their job is done."""
