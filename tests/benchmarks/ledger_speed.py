"""How long the ledger takes: PYTHONPATH=tests python tests/benchmarks/ledger_speed.py

Five years of 40 crews in 400,000 invented entries of 5,000 jobs, through the pure functions on one
core. The book is opened once; each question is asked of it.
"""

import random
import time
from collections.abc import Callable
from datetime import date, timedelta
from typing import get_args

from builders import branch, job, plane, stage

from crewplan.ledger import Standings, hours_by, job_margins, open_book, questions
from crewplan.model.branch import Branch
from crewplan.model.ledger import By, Span
from crewplan.model.people_rows import Crew, Person
from crewplan.model.work_rows import Cause, HoursWorked, Progress
from crewplan.takeoff import take_off_all

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
    jobs = tuple(job(f"J{at}", earliest_on=FIRST, price=20_000.0) for at in range(JOBS))
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
        hours_worked=hours,
        progress=progress,
    )


def timed(words: str, call: Callable[[], object]) -> object:
    """Run, print the seconds, hand on the result."""
    start = time.perf_counter()
    result = call()
    print(f"{words:<40}{time.perf_counter() - start:6.2f} s")
    return result


def main() -> None:
    """Print a line each."""
    many = invented()
    last = FIRST + timedelta(days=5 * 365)
    takeoffs = take_off_all(many)
    book = open_book(many, takeoffs)
    timed("take-off of 5,000 jobs", lambda: take_off_all(many))
    timed("the book, planned hours included", lambda: open_book(many, takeoffs))
    for by in get_args(By):
        timed(f"hours by {by}", lambda by=by: hours_by(book, by, Span()))
    timed("standings of all jobs", lambda: Standings(book, last).of_jobs())
    timed("margins of all jobs", lambda: job_margins(book, last))
    timed("questions", lambda: questions(book, Span(), last))


if __name__ == "__main__":
    main()
