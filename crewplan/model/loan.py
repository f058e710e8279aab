"""Crews that neighbouring branches lend each other by the day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.people_rows import Absence, Certificate, Crew, Person


@dataclass(frozen=True, slots=True)
class Offer:
    """What a branch lends: its crews, under names that no other branch has, and their free days."""

    branch: str
    """Key of the branch that lends."""
    name: str
    """As the other branch knows it."""
    cents_per_day: int
    crews: tuple[Crew, ...]
    people: tuple[Person, ...]
    certificates: tuple[Certificate, ...]
    absences: tuple[Absence, ...]
    free: Mapping[str, frozenset[date]]
    """By crew: days on which its own branch has nothing for it."""


@dataclass(frozen=True, slots=True)
class Loan:
    """A crew that comes from another branch."""

    crew: str
    """As the plan that it helps names it."""
    lender: str
    """Key of the branch that lends."""
    own_name: str
    """What its own branch calls it."""
    days: tuple[date, ...]
    cents: int
    """Of the borrowing branch's price, drives and wages apart."""
