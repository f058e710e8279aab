"""Rows about customers' systems: the job, its roof planes, modules and racking, and its stages."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, MinLen, doc

LiftMethod = Literal["hoist", "boom", "conveyor", "ladder_hoist"]
Electrical = Literal["none", "standard", "panel_upgrade", "battery"]
Orientation = Literal["portrait", "landscape"]
Covering = Literal["shingle", "tile", "metal", "slate"]
StageKind = Literal["roof", "electrical", "inspection", "commissioning", "return"]

DaySpan = tuple[date, date]
"""First and last day, both included."""


@dataclass(frozen=True, slots=True)
class Job:
    """One customer's system."""

    job: Annotated[str, doc("number of the job, unique")]
    latitude: Annotated[float, Ge(-90), Le(90), doc("of the site, degrees")]
    longitude: Annotated[float, Ge(-180), Le(180), doc("of the site, degrees, east positive")]
    earliest_on: Annotated[date, doc("no stage starts before this day")]
    due_on: Annotated[date, doc("the promise to the customer")]
    customer: Annotated[str, doc("who it is for")] = ""
    address: Annotated[str, doc("for the crew sheet")] = ""
    contact: Annotated[str, doc("whom to ask on site")] = ""
    phone: Annotated[str, doc("the contact's")] = ""
    access_note: Annotated[str, doc("gate code, dog, parking")] = ""
    authority: Annotated[str, doc("who permits and inspects")] = ""
    utility: Annotated[str, doc("whose grid it feeds")] = ""
    price: Annotated[float, Ge(0), doc("what the customer pays, in the branch's currency")] = 0.0
    priority: Annotated[int, Ge(1), doc("1 first")] = 2
    lift_method: Annotated[LiftMethod, doc("how modules get up")] = "hoist"
    storeys: Annotated[int, Ge(1), Le(10), doc("storeys below the eave")] = 1
    electrical: Annotated[Electrical, doc("how much electrical work there is")] = "standard"
    customer_days: Annotated[
        tuple[DaySpan, ...],
        doc("days on which work is allowed, `2026-05-05..2026-05-07;2026-05-11`; empty: all"),
    ] = ()
    wind_factor: Annotated[
        float,
        Ge(1),
        Le(3),
        doc("wind at the site / wind of the forecast, on an exposed ridge or shore; never less"),
    ] = 1.0
    wind_factor_source: Annotated[str, doc("who says so; named in every verdict")] = ""

    @property
    def spot(self) -> tuple[float, float, float]:
        """Latitude and longitude in degrees, and the wind factor: what makes weather of sites
        alike."""
        return self.latitude, self.longitude, self.wind_factor


@dataclass(frozen=True, slots=True)
class Plane:
    """One roof plane with an array on it."""

    job: Annotated[str, doc("whose roof")]
    plane: Annotated[str, doc("name of the plane, unique in its job")]
    rows: Annotated[
        tuple[Annotated[int, Ge(1), Le(200)], ...],
        MinLen(1),
        doc("modules in each row from the eave up, `7;7;5`"),
    ]
    module: Annotated[str, doc("a row of modules")]
    pitch_deg: Annotated[float, Ge(0), Le(75), doc("slope of the plane")]
    covering: Annotated[Covering, doc("what the roof is covered with")]
    rafter_spacing_mm: Annotated[float, Ge(100), Le(3000), doc("from centre to centre")]
    racking: Annotated[str, doc("a row of racking; empty: the table's first")] = ""
    orientation: Annotated[Orientation, doc("how the modules lie")] = "portrait"
    eave_height_m: Annotated[float | None, Ge(0), Le(60), doc("eave above ground")] = None
    unevenness_mm: Annotated[float, Ge(0), Le(200), doc("how far the plane is out of flat")] = 0.0
    width_mm: Annotated[float | None, Gt(0), doc("of the plane along the eave")] = None
    slope_mm: Annotated[float | None, Gt(0), doc("of the plane from eave to ridge")] = None
    array_left_mm: Annotated[float | None, Ge(0), doc("left edge of plane to array")] = None
    array_up_mm: Annotated[float | None, Ge(0), doc("eave to lower edge of array")] = None
    first_rafter_mm: Annotated[
        float | None, Ge(0), doc("left edge of plane to the first rafter's centre")
    ] = None
    row_orientations: Annotated[
        tuple[Orientation, ...],
        doc("how the modules of each row lie, from the eave up; empty: all as `orientation`"),
    ] = ()
    row_left_mm: Annotated[
        tuple[Annotated[int, Ge(0), Le(100_000)], ...],
        doc("mm from the array's left edge to each row's rails, from the eave up; empty: 0"),
    ] = ()
    uplift_pa: Annotated[
        float | None, Ge(0), doc("design pressure that lifts the modules; empty: not checked")
    ] = None
    rafter_gravity: Annotated[
        float | None, Gt(0), Le(1), doc("specific gravity of the rafters' wood; empty: not checked")
    ] = None


@dataclass(frozen=True, slots=True)
class Module:
    """A kind of solar module."""

    module: Annotated[str, doc("name of the kind, unique")]
    width_mm: Annotated[float, Gt(0), doc("shorter side")]
    height_mm: Annotated[float, Gt(0), doc("longer side")]
    mass_kg: Annotated[float, Gt(0), doc("of one module")]
    power_w: Annotated[float, Gt(0), doc("rated power at standard test conditions")]


@dataclass(frozen=True, slots=True)
class Racking:
    """A kind of rail and what its maker allows."""

    racking: Annotated[str, doc("name of the kind, unique")]
    gap_mm: Annotated[float, Ge(0), doc("between two modules of a row")]
    overhang_mm: Annotated[float, Ge(0), doc("of the rail past the last module, each end")]
    max_span_mm: Annotated[float, Gt(0), doc("between attachments, from the maker's table")]
    cantilever_mm: Annotated[float, Ge(0), doc("of the rail past the last attachment, at most")]
    rail_mm: Annotated[float, Gt(0), doc("stock length of a rail")]
    tolerance_mm: Annotated[float, Ge(0), doc("how far the array may be shifted")] = 0.0
    source: Annotated[str, doc("where the figures are from")] = ""
    staggered: Annotated[
        bool, doc("yes: neighbouring rails' inner attachments are on different rafters")
    ] = False
    break_every_mm: Annotated[
        float | None, Gt(0), doc("longest run of rail without a thermal break; empty: only noted")
    ] = None
    least_piece_mm: Annotated[float, Ge(0), doc("shortest piece of a spliced rail")] = 0.0
    lag_diameter_mm: Annotated[float | None, Gt(0), doc("of a lag; empty: not checked")] = None
    lag_thread_mm: Annotated[
        float | None, Gt(0), doc("of a lag's thread in the rafter; empty: not checked")
    ] = None
    attachment_torque_nm: Annotated[
        float | None, Gt(0), doc("of lags and feet, from the maker's sheet; empty: written in")
    ] = None
    rail_torque_nm: Annotated[
        float | None, Gt(0), doc("of rails and splices, from the maker's sheet; empty: written in")
    ] = None
    clamp_torque_nm: Annotated[
        float | None, Gt(0), doc("of mid and end clamps, from the maker's sheet; empty: written in")
    ] = None
    bonding_torque_nm: Annotated[
        float | None, Gt(0), doc("of bonding lugs, from the maker's sheet; empty: written in")
    ] = None


@dataclass(frozen=True, slots=True)
class Stage:
    """A piece of a job that a crew is sent for."""

    stage: Annotated[str, doc("number of the stage, unique")]
    job: Annotated[str, doc("whose")]
    kind: Annotated[StageKind, doc("what the crew is sent for")]
    after: Annotated[tuple[str, ...], doc("stages that have ended before; `;` between")] = ()
    gap_days: Annotated[int, Ge(0), Le(365), doc("whole calendar days between them")] = 0
    certificates: Annotated[tuple[str, ...], doc("each held by someone there; `;` between")] = ()
    equipment: Annotated[tuple[str, ...], doc("each the crew's own or shared; `;` between")] = ()
    min_people: Annotated[int, Ge(1), Le(50), doc("people there on each day")] = 1
    share: Annotated[
        float | None, Gt(0), Le(1), doc("of the job's steps of that kind; empty: equal")
    ] = None
