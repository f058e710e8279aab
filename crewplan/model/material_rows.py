"""Rows about material and shared equipment."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from annotated_types import Ge, Gt, doc

from crewplan.model.job_rows import DaySpan


@dataclass(frozen=True, slots=True)
class Item:
    """Something that is bought and kept, and the word of the take-off that it serves."""

    item: Annotated[str, doc("name in the store, unique")]
    takeoff_item: Annotated[str, doc("the take-off's word: module, mid clamp, end clamp ...")] = ""
    pack: Annotated[float, Gt(0), doc("pieces in one stocked unit")] = 1.0
    unit_cost: Annotated[float, Ge(0), doc("of one stocked unit")] = 0.0
    substitutes: Annotated[
        tuple[str, ...], doc("items that may stand in for it on a whole job; `;` between")
    ] = ()


@dataclass(frozen=True, slots=True)
class Stock:
    """What is on hand now."""

    item: Annotated[str, doc("a row of items, or a word of the take-off")]
    on_hand: Annotated[float, Ge(0), doc("stocked units on hand")] = 0.0


@dataclass(frozen=True, slots=True)
class Arrival:
    """What is on order."""

    item: Annotated[str, doc("a row of items, or a word of the take-off")]
    quantity: Annotated[float, Gt(0), doc("stocked units")]
    expected_on: Annotated[date, doc("day on which it is expected; usable from that day on")]
    supplier: Annotated[str, doc("from whom")] = ""
    promised_on: Annotated[
        date | None, doc("day that the supplier first named; empty: expected_on")
    ] = None
    arrived_on: Annotated[
        date | None, doc("day on which it came: part of the stock since, and of the record")
    ] = None


@dataclass(frozen=True, slots=True)
class Equipment:
    """Equipment that all crews share; one piece serves one job a day."""

    equipment: Annotated[str, doc("name, unique")]
    quantity: Annotated[int, Ge(0), doc("pieces")] = 1
    cost_per_day: Annotated[float, Ge(0), doc("of one piece")] = 0.0
    service_due_on: Annotated[
        date | None, doc("last day on which it may be used before its service; empty: none set")
    ] = None
    in_service: Annotated[
        tuple[DaySpan, ...], doc("days on which it is away for service; empty: none")
    ] = ()
