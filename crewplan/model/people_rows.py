"""Rows about people and crews: who can be sent, with what, and when they are away."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, doc

Role = Literal["lead", "installer", "electrician", "trainee"]


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works on site."""

    person: Annotated[str, doc("name or number, unique")]
    crew: Annotated[str, doc("the crew that the person belongs to")]
    role: Annotated[Role, doc("what the person is on site; a lead runs the crew")]
    cost_per_h: Annotated[float, Ge(0), doc("loaded cost of an hour, in the branch's currency")]
    pace: Annotated[
        float, Gt(0), Le(3), doc("hours of the table's work done in an hour; 1 is the table's")
    ] = 1.0
    phone: Annotated[str, doc("for the crew sheet")] = ""


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate that a person holds."""

    person: Annotated[str, doc("who holds it")]
    certificate: Annotated[str, doc("the word that stages.certificates asks for")]
    expires_on: Annotated[date | None, doc("last good day; empty: does not run out")] = None


@dataclass(frozen=True, slots=True)
class Absence:
    """Days on which a person is away, both ends included."""

    person: Annotated[str, doc("who is away")]
    first_day: Annotated[date, doc("first day away")]
    last_day: Annotated[date | None, doc("last day away; empty: open end")] = None
    reason: Annotated[str, doc("for people to read")] = ""


@dataclass(frozen=True, slots=True)
class Crew:
    """People who drive out together, and where they start from."""

    crew: Annotated[str, doc("name of the crew, unique")]
    base_latitude: Annotated[float, Ge(-90), Le(90), doc("where its day starts and ends, degrees")]
    base_longitude: Annotated[float, Ge(-180), Le(180), doc("degrees, east positive")]
    equipment: Annotated[
        tuple[str, ...], doc("its own equipment, which travels with it; `;` between")
    ] = ()
    equipment_due_on: Annotated[
        date | None, doc("last day on which its own may be used before its service; empty: none")
    ] = None
