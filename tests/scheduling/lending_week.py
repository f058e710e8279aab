"""A small week in which one crew has no lead, and the other nobody who may do electrical work."""

from dataclasses import replace
from datetime import date
from functools import cache

from builders import NOW, branch, settings, stage
from small_week import JOBS, LIMITS, PLANES, PROOF, calm_hours, choose, requirements

from crewplan.model.people_rows import Absence, Certificate, Crew, Person
from crewplan.model.waiting_rows import Authority
from crewplan.scheduling import check_plan, schedule

COST = 40.0


@cache
def lending_branch(cost_per_day=COST):
    """Cy, who leads South, is away throughout; of North nobody is an electrician."""
    return branch(
        settings=settings(weather_members=12, lending_cost_per_day=cost_per_day),
        crews=(Crew("North", 46.8, -92.1, ("boom",)), Crew("South", 46.82, -92.12)),
        people=(
            Person("Ada", "North", "lead", 50.0),
            Person("Bo", "North", "installer", 36.0),
            Person("Eli", "North", "installer", 36.0, 0.8),
            Person("Cy", "South", "lead", 50.0),
            Person("Di", "South", "electrician", 40.0, 1.1),
            Person("Flo", "South", "installer", 38.0, 1.0, "555-0100"),
        ),
        certificates=(Certificate("Di", "electrician", date(2026, 12, 31)),),
        absences=(Absence("Cy", date(2026, 5, 1), None),),
        jobs=JOBS,
        planes=PLANES,
        stages=(
            stage("S1", job="J1"),
            stage("S2", job="J1", kind="electrical", after=("S1",), certificates=("electrician",)),
            stage("S3", job="J2"),
            stage("S4", job="J2", kind="electrical", after=("S3",), certificates=("electrician",)),
            stage("S5", job="J1", kind="inspection", after=("S2",)),
            stage("S7", job="J3", min_people=4),
        ),
        requirements=requirements("J1", "J2", "J3"),
        authorities=(Authority("Hill", inspections_per_day=1, notice_days=1),),
        weather=calm_hours(gust_mps=9.0),
        package_limits=LIMITS,
    )


def checked_plan(tables, **more):
    """A proven plan that the checker passes, and what it was made from."""
    choices = choose(tables)
    plan = schedule(choices, stop=PROOF, **more)
    assert check_plan(tables, choices, plan, NOW) == ()
    return choices, plan


@cache
def lending_plan():
    return checked_plan(lending_branch())


def moved(tables, placement):
    """The tables as if whoever is lent for a placement belonged to the crew that they are with."""
    elsewhere = replace(tables.crews[0], crew="elsewhere")

    def at(person):
        if person.person in placement.joined:
            return replace(person, crew=placement.crew)
        if person.person in placement.lent_away:
            return replace(person, crew=elsewhere.crew)
        return person

    # who joins comes last, as a guest: the crew's own lead stays its lead
    people = sorted(map(at, tables.people), key=lambda person: person.person in placement.joined)
    return replace(
        tables,
        crews=(*tables.crews, elsewhere),
        people=tuple(people),
        settings=replace(tables.settings, lending_cost_per_day=None),
    )
