"""Rows about the work itself: steps, their rates and factors, and what has been done."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, doc

from crewplan.model.job_rows import StageKind

Exposure = Literal["ground", "roof", "lift"]
EXPOSURES: tuple[Exposure, ...] = ("ground", "roof", "lift")
"""From the least exposed to the most; each obeys the limits of those before it."""

Driver = Literal[
    "modules",
    "attachments",
    "rail_m",
    "rows",
    "planes",
    "storeys",
    "kw",
    "days",
    "stage",
    "visit",
    "system",
    "panel_upgrade",
    "battery",
]
"""Words of `steps.driver` and `rates.driver`, counted by take-off and labour."""

Cause = Literal[
    "",
    "weather",
    "waiting_for_permit",
    "waiting_for_material",
    "missing_tool_or_part",
    "return_trip",
    "rework",
    "failed_inspection",
    "customer",
    "travel",
    "other",
]


@dataclass(frozen=True, slots=True)
class Step:
    """A piece of a stage, in partial order with the others of its kind."""

    step: Annotated[str, doc("name of the step, unique")]
    kind: Annotated[StageKind, doc("kind of stage that it belongs to")]
    exposure: Annotated[Exposure, doc("where people stand while they do it")]
    driver: Annotated[Driver | None, doc("what its hours grow with; empty: its rates say")] = None
    after: Annotated[tuple[str, ...], doc("steps done before it; `;` between")] = ()
    min_people: Annotated[int, Ge(1), Le(50), doc("people that it takes at once")] = 1
    again: Annotated[
        bool, doc("yes: done again each time that a crew comes back to a stage it has left open")
    ] = False


@dataclass(frozen=True, slots=True)
class Rate:
    """Hours that one unit of a driver costs."""

    step: Annotated[str, doc("a row of steps")]
    driver: Annotated[Driver, doc("what the hours grow with")]
    hours_per_unit: Annotated[float, Ge(0), doc("person-hours for one unit of the driver")]
    spread: Annotated[float, Ge(0), Le(3), doc("standard deviation / mean")] = 0.3
    source: Annotated[str, doc("where the figure is from")] = ""


@dataclass(frozen=True, slots=True)
class Factor:
    """What makes a step slower or faster; all that hold multiply."""

    step: Annotated[str, doc("a row of steps")]
    condition: Annotated[
        str,
        doc("`covering=tile`, `storeys>=2`, `pitch_deg>=30`; of several thresholds the highest"),
    ]
    factor: Annotated[float, Gt(0), Le(10), doc("times the step's hours")]
    source: Annotated[str, doc("where the figure is from")] = ""


@dataclass(frozen=True, slots=True)
class HoursWorked:
    """Hours that a person spent on a stage in a day."""

    day: Annotated[date, doc("when")]
    stage: Annotated[str, doc("what for")]
    person: Annotated[str, doc("who")]
    hours: Annotated[float, Gt(0), Le(24), doc("person-hours")]
    step: Annotated[str, doc("which step; empty: not told apart")] = ""
    cause: Annotated[Cause, doc("why they were lost; empty: productive")] = ""
    note: Annotated[str, doc("for people to read")] = ""
    about: Annotated[
        str,
        doc("what they were lost about: the authority, supplier, limit or part; empty: not told"),
    ] = ""


@dataclass(frozen=True, slots=True)
class Progress:
    """How much of a step was done by the end of a day."""

    day: Annotated[date, doc("when it was seen")]
    stage: Annotated[str, doc("whose step")]
    step: Annotated[str, doc("a row of steps")]
    share_done: Annotated[float, Ge(0), Le(1), doc("0 not begun, 1 done")]
