"""People on each day of a placement: enough of them, one lead, every certificate."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Stage
from crewplan.model.placement import ReasonKind
from crewplan.placing.crew_days import CrewDays, lead_of
from crewplan.placing.removals import Removal

LEAST_WHERE_EXPOSED = 2
"""Nobody is alone on a roof. Source: 29 CFR 1926.502(d)(20), prompt rescue."""


@dataclass(frozen=True, slots=True, eq=False)
class DayFault:
    """A need that a crew does not meet on some days."""

    kind: ReasonKind
    text: str
    bad: NDArray[np.bool_]
    """Over the days of the horizon."""


def people_needed(stage: Stage, hours: StageHours) -> int:
    """Most of what the stage, its remaining steps and its exposure ask for."""
    least = LEAST_WHERE_EXPOSED if hours.exposed else 1
    return max(least, stage.min_people, *(step.min_people for step in hours.steps), 1)


def _away(crew: CrewDays, bad: NDArray[np.bool_], role: str = "") -> str:
    """Who of the crew is away on one of the bad days."""
    names = [
        person.person
        for person in crew.everybody
        if (not role or person.role == role)
        and any(person not in crew.there[day] for day in np.flatnonzero(bad))
    ]
    return ", ".join(names)


def _certificate_text(certificate: str, crew: CrewDays) -> str:
    rows = crew.holders.get(certificate, ())
    if not rows:
        return f"{certificate}: nobody in crew {{crews}}"
    held = ", ".join(
        row.person + (f" until {row.expires_on.isoformat()}" if row.expires_on else "")
        for row in rows
    )
    return f"{certificate}: in crew {{crews}} only {held}; nobody there holds it on each day"


def day_faults(crew: CrewDays, needed: int, certificates: Iterable[str]) -> list[DayFault]:
    """All needs of a stage that the crew fails on some day of the horizon."""
    empty = crew.count == 0
    faults = [DayFault("people", "nobody of crew {crews} is there", empty)]
    few = (crew.counted < needed) & ~empty
    gone = _away(crew, few)
    who = "people needed" if (crew.counted == crew.count).all() else "people needed, trainees apart"
    text = f"{needed} {who}, fewer in crew {{crews}}" + (f" ({gone} away)" if gone else "")
    faults.append(DayFault("people", text, few))
    led = np.array([any(p.role == "lead" for p in there) for there in crew.there], dtype=np.bool_)
    gone = _away(crew, ~led & ~empty, "lead")
    text = f"no lead in crew {{crews}}: {gone} away" if gone else "no lead in crew {crews}"
    faults.append(DayFault("people", text, ~led & ~empty))
    none = np.zeros(len(crew.count), dtype=np.bool_)
    faults += [
        DayFault(
            "certificate",
            _certificate_text(certificate, crew),
            ~crew.held.get(certificate, none) & ~empty,
        )
        for certificate in dict.fromkeys(certificates)
    ]
    return [fault for fault in faults if fault.bad.any()]


def faulty_starts(faults: Iterable[DayFault], crew: CrewDays) -> list[Removal]:
    """Starts on a day on which the crew fails a need, whatever follows."""
    return [Removal(f.kind, f.text, np.repeat(f.bad, 2), crew.name) for f in faults]


def faults_on(
    faults: Iterable[DayFault], crew: CrewDays, days: tuple[int, ...], starts: NDArray[np.bool_]
) -> list[Removal]:
    """What a placement over these days (indices) breaks; `starts` marks its own start."""
    found = [
        Removal(fault.kind, fault.text, starts, crew.name)
        for fault in faults
        if fault.bad[list(days)].any()
    ]
    if not found and not lead_of(crew, days):
        text = "no lead of crew {crews} is there on every day of it"
        found.append(Removal("people", text, starts, crew.name))
    return found


def usable_days(crew: CrewDays, days: tuple[date, ...], allowed: list[bool]) -> tuple[int, ...]:
    """Days (indices) that the crew can spend on the job: it is there, and the customer allows."""
    return tuple(d for d in range(len(days)) if allowed[d] and crew.count[d] > 0)
