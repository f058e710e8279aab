"""A crew of two at a site without drive, in one calm week of invented weather."""

from datetime import date

import numpy as np
from builders import NOW, branch, job, settings, stage

from crewplan.model.calendar import working_days
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.open_hours import OpenHours
from crewplan.model.people_rows import Crew, Person
from crewplan.model.readiness import NeedChance, StageReadiness, Supply
from crewplan.placing.choices import choices_of
from crewplan.placing.site import Known

MONDAY = date(2026, 5, 4)
WEEK = working_days(settings(), MONDAY, 5)
TWO_PEOPLE = (Person("Lea", "A", "lead", 40.0), Person("Ivo", "A", "installer", 30.0))
CREW_A = Crew("A", 46.8, -92.1)


def day(number):
    """Of May 2026; the 4th is a Monday."""
    return date(2026, 5, number)


def left(*steps, spread=0.0, stage="S1", **changes):
    """Hours left of a stage; steps are (exposure, person-hours), one after the other."""
    rows, before = [], ()
    for i, (exposure, hours) in enumerate(steps):
        rows.append(StepHours(f"step{i}", exposure, before, hours, spread, 1, "by hand"))
        before = (f"step{i}",)
    total = sum(hours for _, hours in steps)
    values = {"planned_h": total, "p50_h": total, "p80_h": total, "p90_h": total}
    values |= {"spread": spread, "done": False, "begun": False}
    return StageHours(stage, tuple(rows), **(values | changes))


def ready(days, *needs, stage="S1"):
    """Readiness; needs are (kind, state, chance on every day)."""
    states = tuple(NeedChance(k, s, np.full(len(days), float(p)), "") for k, s, p in needs)
    p = np.prod([need.p for need in states], axis=0) if states else np.ones(len(days))
    sure = all(state == "granted" for _, state, _ in needs)
    holds = ("" if sure else needs[0][0],) * len(days)
    return StageReadiness(stage, p, np.full(len(days), sure), holds, states)


def all_open(hour_starts, places):
    """One member, every hour good for everything, at every place."""
    return [weather_of(np.full((1, len(hour_starts)), 3)) for _ in places]


def weather_of(level, known=True):
    """Open hours from levels [member, hour]: 0 shut, 1 ground, 2 roof, 3 lift."""
    good = np.stack([level >= e for e in (1, 2, 3)])
    hours = level.shape[1]
    return OpenHours(
        np.arange(hours),
        good,
        np.full((3, hours), known),
        good if known else np.ones_like(good),
        np.zeros(hours, dtype=np.bool_),
        "",
        0.0,
    )


def by_clock(rule, members=1):
    """Weather by a rule (member, local hour) -> level."""

    def weather_at(hour_starts, places):
        level = np.array([[rule(m, at) for at in hour_starts] for m in range(members)])
        return [weather_of(level) for _ in places]

    return weather_at


def known(hours=None, days=WEEK, frozen=(), weather_at=all_open, now=NOW, **changes):
    """Everything placing is told: stage S1, a roof of 8 person-hours, unless changed."""
    told = {"readiness": None, "kits": {}, "supply": Supply({}, {}, False)}
    told |= {key: changes.pop(key) for key in list(changes) if key in told}
    tables = {"people": TWO_PEOPLE, "crews": (CREW_A,), "jobs": (job(),), "stages": (stage(),)}
    rows = branch(**(tables | changes))
    hours = hours or {row.stage: left(("roof", 8.0), stage=row.stage) for row in rows.stages}
    if told["readiness"] is None:
        told["readiness"] = {row.stage: ready(days, stage=row.stage) for row in rows.stages}
    return Known(
        branch=rows,
        horizon=Horizon(days, frozenset(frozen)),
        hours=hours,
        weather_at=weather_at,
        now=now,
        **told,
    )


def choose(**changes):
    """Choices of a small week, and its one stage."""
    choices = choices_of(known(**changes))
    return choices, choices.stages[0]


def spans(choices):
    """(crew, first half-day, number of half-days) of every placement."""
    return [(p.crew, p.start, len(p.cells)) for p in choices.placements]


def said(to_place, kind):
    """Details of the reasons of one kind, with days."""
    return [(r.detail, r.from_on, r.until_on) for r in to_place.reasons if r.kind == kind]
