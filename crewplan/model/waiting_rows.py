"""Rows about what stages wait for: permits and other approvals, and who gives them."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, doc

CountedDays = Literal["calendar", "working"]
RequirementState = Literal["open", "asked", "granted", "refused", "not_needed"]


@dataclass(frozen=True, slots=True)
class Requirement:
    """Something that a job's stages wait for."""

    job: Annotated[str, doc("whose")]
    kind: Annotated[str, doc("permit, survey, kit, utility_approval or any further word")]
    state: Annotated[RequirementState, doc("where it stands")]
    asked_on: Annotated[date | None, doc("when it was asked for")] = None
    granted_on: Annotated[date | None, doc("when it was granted")] = None
    expected_on: Annotated[date | None, doc("shown only, never counted as a chance")] = None
    expires_on: Annotated[
        date | None, doc("last day of work that the grant covers; empty: does not lapse")
    ] = None


@dataclass(frozen=True, slots=True)
class LeadTime:
    """How long one past request took, or has been waiting."""

    kind: Annotated[str, doc("kind of requirement")]
    asked_on: Annotated[date, doc("when it was asked for")]
    authority: Annotated[str, doc("authority, utility or supplier asked")] = ""
    granted_on: Annotated[date | None, doc("when it was granted; empty: still waiting")] = None
    refused_on: Annotated[
        date | None, doc("when it was refused: it counts as never granted; a new try is a new row")
    ] = None


@dataclass(frozen=True, slots=True)
class Authority:
    """Who permits and inspects, and what they ask for."""

    authority: Annotated[str, doc("name, unique")]
    asks_for: Annotated[
        tuple[str, ...], doc("kinds of requirement before building; `;` between")
    ] = ()
    inspections_per_day: Annotated[
        int | None, Ge(0), doc("inspections that it does in a day; empty: no limit known")
    ] = None
    notice_days: Annotated[int, Ge(0), doc("working days before an inspection")] = 0
    ridge_setback_mm: Annotated[float, Ge(0), doc("kept free below the ridge")] = 0.0
    edge_setback_mm: Annotated[float, Ge(0), doc("kept free at the sides")] = 0.0
    crew_note: Annotated[str, doc("for the crew sheet; check locally")] = ""
    source: Annotated[str, doc("where this is from, and of which day")] = ""
    counts_days: Annotated[
        CountedDays, doc("days that its lead times are counted in; also of a utility or supplier")
    ] = "calendar"
    holidays_country: Annotated[
        str, doc("whose public holidays it keeps, `US`; empty: the branch's")
    ] = ""
    holidays_subdivision: Annotated[
        str, doc("state or province with holidays of its own, `MN`; empty: the country's")
    ] = ""
    bonding_note: Annotated[str, doc("on bonding and grounding, for the crew sheet")] = ""
    labels_note: Annotated[str, doc("on labels and placards, for the crew sheet")] = ""
    checked_on: Annotated[date | None, doc("when this row was last held to its source")] = None


@dataclass(frozen=True, slots=True)
class Inspection:
    """How one inspection of the past ended; the earliest of a job is its first."""

    authority: Annotated[str, doc("who inspected")]
    inspected_on: Annotated[date, doc("when")]
    passed: Annotated[bool, doc("yes; no: it had to be put right and inspected again")]
    job: Annotated[str, doc("whose; empty: a first inspection of a job not told")] = ""
    return_h: Annotated[
        float | None, Ge(0), doc("person-hours that putting it right took; empty: not known")
    ] = None
