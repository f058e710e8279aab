"""How long the ledger takes: PYTHONPATH=tests python tests/benchmarks/ledger_speed.py

Five years of 40 crews in 400,000 invented entries of 5,000 jobs, through the pure functions on one
core. The book is opened once; each question is asked of it.
"""

import random
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from time import perf_counter, process_time
from typing import get_args

from builders import branch, job, plane, stage

from crewplan.ledger import (
    Standings,
    expected_and_happened,
    findings,
    hours_by,
    job_losses,
    job_margins,
    open_book,
    questions,
)
from crewplan.ledger.crew_standings import crew_standings
from crewplan.ledger.over_time import lost_over_time
from crewplan.ledger.week_standings import week_standings
from crewplan.model.branch import Branch
from crewplan.model.closed import days_of
from crewplan.model.expected import Expectation, KeptExpectation
from crewplan.model.ledger import By, Span
from crewplan.model.material_rows import Arrival
from crewplan.model.people_rows import Crew, Person
from crewplan.model.work_rows import Cause, HoursWorked, Progress
from crewplan.running.all_stays import all_of_it_stays
from crewplan.running.hours_record import record_on
from crewplan.running.owner_view import owner_view
from crewplan.takeoff import take_off_all
from crewplan.takeoff.words import TAKEOFF_ITEMS

ABOUT = ("", "", "gust", "end clamp", "Office 3", "Supplier 2", "ladder strap")
ENTRIES, CREWS, PEOPLE_A_CREW, JOBS = 400_000, 40, 4, 5_000
FIRST = date(2021, 1, 4)


def invented(seed: int = 1) -> Branch:
    """Each stage has one crew for four days of the five years; one entry in five is lost."""
    draw = random.Random(seed)
    people = tuple(
        Person(f"P{crew}-{at}", f"C{crew}", "installer", 30 + draw.randrange(2000) / 100)
        for crew in range(CREWS)
        for at in range(PEOPLE_A_CREW)
    )
    jobs = tuple(
        job(f"J{at}", earliest_on=FIRST, price=20_000.0, authority=f"Office {at % 12}")
        for at in range(JOBS)
    )
    stages = tuple(
        stage(f"S{at}-{kind}", job=f"J{at}", kind=kind)
        for at in range(JOBS)
        for kind in ("roof", "electrical")
    )
    causes = [cause for cause in get_args(Cause) if cause]
    starts = [FIRST + timedelta(days=draw.randrange(5 * 365)) for _ in stages]
    crews = [draw.randrange(CREWS) for _ in stages]
    hours = tuple(
        HoursWorked(
            starts[at] + timedelta(days=draw.randrange(4)),
            stages[at].stage,
            people[crews[at] * PEOPLE_A_CREW + draw.randrange(PEOPLE_A_CREW)].person,
            draw.randrange(1, 36) / 4,
            cause=draw.choice(causes) if draw.random() < 0.2 else "",
            note=f"{draw.choice(('no', 'late', 'broken'))} {draw.choice(TAKEOFF_ITEMS)} {at % 997}",
            about=draw.choice(ABOUT),
        )
        for at in (draw.randrange(len(stages)) for _ in range(ENTRIES))
    )
    progress = tuple(
        Progress(FIRST + timedelta(days=draw.randrange(5 * 365)), row.stage, step, 1.0)
        for row in stages
        if row.kind == "roof"
        for step in ("attachments", "fall_protection", "mark_rafters")
    )
    return branch(
        people=people,
        crews=tuple(Crew(f"C{at}", 46.8, -92.1) for at in range(CREWS)),
        jobs=jobs,
        planes=tuple(plane(job=row.job) for row in jobs),
        stages=stages,
        arrivals=tuple(
            Arrival(item, 10, FIRST, f"Supplier {at % 5}") for at, item in enumerate(TAKEOFF_ITEMS)
        ),
        hours_worked=hours,
        progress=progress,
    )


def expectations(many: Branch) -> list[KeptExpectation]:
    """A plan a week, each with the stages whose hours begin in the week after it."""
    first: dict[str, date] = {}
    for row in many.hours_worked:
        first[row.stage] = min(first.get(row.stage, row.day), row.day)
    found = []
    for name, day in first.items():
        week = (day - FIRST).days // 7
        asked = datetime.combine(FIRST + timedelta(days=7 * week - 1), time(12), UTC)
        days = (day, day + timedelta(days=1))
        starts = datetime.combine(day, time(7), UTC)
        told = Expectation(name, "", "", days, starts, True, 0.9, 0.85, 1.0, 1.5)
        found.append(KeptExpectation(week + 1, asked, told))
    return found


def timed(words: str, call: Callable[[], object]) -> object:
    """Run, print the seconds, hand on the result."""
    start, worked = perf_counter(), process_time()
    result = call()
    print(
        f"{words:<40}{perf_counter() - start:6.2f} s{process_time() - worked:6.2f} s of processor"
    )
    return result


def main() -> None:
    """Print a line each."""
    many = invented()
    last = FIRST + timedelta(days=5 * 365)
    takeoffs = take_off_all(many)
    book = open_book(many, takeoffs)
    kept = expectations(many)
    a_year, month = Span(last - timedelta(days=364), last), days_of("2025-04")
    timed("take-off of 5,000 jobs", lambda: take_off_all(many))
    timed("the book, planned hours included", lambda: open_book(many, takeoffs))
    for by in get_args(By):
        timed(f"hours by {by}", lambda by=by: hours_by(book, by, Span()))
    timed("standings of all jobs", lambda: Standings(book, last).of_jobs())
    whole = Standings(book, last)
    told = [line.name for line in hours_by(book, "week", Span())]
    crews = [row.crew for row in many.crews]
    timed("standings of all crews", lambda: crew_standings(book, last, whole, crews))
    timed("standings of all weeks", lambda: week_standings(book, last, told))
    timed("margins of all jobs", lambda: job_margins(book, last))
    timed("jobs by what was lost", lambda: job_losses(hours_by(book, "job", Span())))
    timed("lost hours over time", lambda: lost_over_time(book, Span()))
    timed("what to change", lambda: findings(book, last))
    timed("what planning expected", lambda: expected_and_happened(book, kept, last))
    page = all_of_it_stays()(owner_view)  # as the board asks for it
    timed("the owner's page, last year", lambda: page(book, last, a_year))
    timed("the owner's page, five years", lambda: page(book, last, Span()))
    timed(
        "a month closed, all groupings",
        lambda: [record_on(book, last, by, month) for by in get_args(By)],
    )
    timed("questions", lambda: questions(book, Span(), last))


if __name__ == "__main__":
    main()
