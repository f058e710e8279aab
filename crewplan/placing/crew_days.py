"""Who of a crew is there on each day of the horizon, and what they bring."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.people_rows import Absence, Certificate, Crew, Person
from crewplan.model.settings import Settings

KEPT = 16_384
"""Answers about crews and days that are kept: placements of all stages ask for the same."""


@dataclass(frozen=True, slots=True, eq=False)
class CrewDays:
    """One crew over the days of the horizon; every array has one entry a day."""

    crew: Crew
    everybody: tuple[Person, ...]
    """All people of the crew, in the table's order."""
    there: tuple[tuple[Person, ...], ...]
    """Those there on each day."""
    count: NDArray[np.int64]
    """People there."""
    counted: NDArray[np.int64]
    """Those of them who are one of the people that a stage needs: a trainee where settings say."""
    pace: NDArray[np.float64]
    """Hours of the table's work that they do together in an hour."""
    cost_per_h: NDArray[np.float64]
    """Loaded cost of an hour of all people there, in the branch's currency."""
    held: Mapping[str, NDArray[np.bool_]]
    """By certificate: whether somebody there holds it on the day."""
    holders: Mapping[str, tuple[Certificate, ...]]
    """By certificate: the rows of everybody in the crew who has or had it."""

    @property
    def name(self) -> str:
        """The crew's own."""
        return self.crew.crew


def away(absence: Absence, day: date) -> bool:
    """Whether the day lies in the absence, both ends included."""
    return absence.first_day <= day and (absence.last_day is None or day <= absence.last_day)


def there_on(
    people: tuple[Person, ...], absences: tuple[Absence, ...], day: date
) -> tuple[Person, ...]:
    """Those of `people` who are not away on the day."""
    gone = {absence.person for absence in absences if away(absence, day)}
    return tuple(person for person in people if person.person not in gone)


def counts(settings: Settings, person: Person) -> bool:
    """Whether somebody is one of the people that a stage needs, also on a roof."""
    return settings.trainees_count or person.role != "trainee"


def _held(
    certificates: tuple[Certificate, ...],
    there: tuple[tuple[Person, ...], ...],
    days: tuple[date, ...],
) -> dict[str, NDArray[np.bool_]]:
    names = [{person.person for person in people} for people in there]
    held: dict[str, NDArray[np.bool_]] = {}
    for row in certificates:
        good = np.array(
            [
                row.person in present and (row.expires_on is None or day <= row.expires_on)
                for day, present in zip(days, names, strict=True)
            ],
            dtype=np.bool_,
        )
        held[row.certificate] = held[row.certificate] | good if row.certificate in held else good
    return held


def crew_days(branch: Branch, crew: Crew, days: tuple[date, ...]) -> CrewDays:
    """The crew over `days`; an expiry date is the certificate's last good day."""
    everybody = tuple(person for person in branch.people if person.crew == crew.crew)
    names = {person.person for person in everybody}
    absences = tuple(absence for absence in branch.absences if absence.person in names)
    there = tuple(there_on(everybody, absences, day) for day in days)
    return _together(branch, crew, days, everybody, there)


def with_lent(
    branch: Branch,
    own: CrewDays,
    days: tuple[date, ...],
    joined: tuple[Person, ...],
    lent_away: tuple[Person, ...] = (),
) -> CrewDays:
    """The crew as if these people were with it, and those of its own were not, on every day.

    Days on which nobody of the crew itself is left stay empty: a crew is not made up of others.
    Whether who joins is there at all, and who is lent is away, is for the caller to see to.
    """
    everybody = tuple(person for person in own.everybody if person not in lent_away) + joined
    left = (tuple(p for p in people if p not in lent_away) for people in own.there)
    there = tuple(people + joined if people else () for people in left)
    return _together(branch, own.crew, days, everybody, there)


def _together(
    branch: Branch,
    crew: Crew,
    days: tuple[date, ...],
    everybody: tuple[Person, ...],
    there: tuple[tuple[Person, ...], ...],
) -> CrewDays:
    names = {person.person for person in everybody}
    certificates = tuple(row for row in branch.certificates if row.person in names)
    holders: dict[str, tuple[Certificate, ...]] = {}
    for row in certificates:
        holders[row.certificate] = (*holders.get(row.certificate, ()), row)
    return CrewDays(
        crew=crew,
        everybody=everybody,
        there=there,
        count=np.array([len(people) for people in there], dtype=np.int64),
        counted=np.array(
            [sum(counts(branch.settings, person) for person in people) for people in there],
            dtype=np.int64,
        ),
        pace=np.array([sum(p.pace for p in people) for people in there], dtype=np.float64),
        cost_per_h=np.array([sum(p.cost_per_h for p in people) for people in there], np.float64),
        held=_held(certificates, there, days),
        holders=holders,
    )


@lru_cache(KEPT)
def lead_of(crew: CrewDays, days: tuple[int, ...]) -> str:
    """The first lead of the table who is there on all of the days (indices); empty: nobody."""
    for person in crew.everybody:
        if person.role == "lead" and all(person in crew.there[day] for day in days):
            return person.person
    return ""


@lru_cache(KEPT)
def people_of(crew: CrewDays, days: tuple[int, ...]) -> tuple[str, ...]:
    """Those there on at least one of the days (indices), in the table's order."""
    present = {person.person for day in days for person in crew.there[day]}
    return tuple(person.person for person in crew.everybody if person.person in present)


@lru_cache(KEPT)
def days_cost(crew: CrewDays, days: tuple[int, ...]) -> tuple[float, int]:
    """Loaded cost of an hour on each of the days (indices), added up, and how many are there."""
    chosen = list(days)
    return float(crew.cost_per_h[chosen].sum()), int(crew.count[chosen].sum())
