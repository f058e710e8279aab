"""A small branch whose planned hours are round: ten for fall protection, thirty for attachments."""

from datetime import date
from typing import Any, get_args

from builders import branch, job, stage
from hypothesis import strategies as st

from crewplan.ledger import Book, open_book
from crewplan.model.branch import Branch
from crewplan.model.people_rows import Crew, Person
from crewplan.model.work_rows import Cause, HoursWorked, Progress, Rate, Step
from crewplan.takeoff import take_off_all

MONDAY = date(2026, 5, 4)
STEPS = (
    Step("protect", "roof", "roof", "stage"),
    Step("attach", "roof", "roof", "stage"),
    Step("wire", "electrical", "ground", "stage"),
)
RATES = (
    Rate("protect", "stage", 10.0, source="by hand"),
    Rate("attach", "stage", 30.0, source="by hand"),
    Rate("wire", "stage", 20.0, source="by hand"),
)
PEOPLE = (
    Person("Ann", "Alder", "lead", 40.0),
    Person("Bo", "Alder", "installer", 30.5),
    Person("Cy", "Birch", "lead", 41.25),
)
CREWS = (Crew("Alder", 46.8, -92.1), Crew("Birch", 46.8, -92.1))


def small_branch(**tables: Any) -> Branch:
    """Two jobs with a roof and an electrical stage each; three people in two crews."""
    given: dict[str, Any] = {
        "people": PEOPLE,
        "crews": CREWS,
        "jobs": (job("J1", price=10_000.0), job("J2", price=8_000.0)),
        "planes": (),
        "stages": (
            stage("S1"),
            stage("S2", kind="electrical", after=("S1",)),
            stage("S3", job="J2"),
            stage("S4", job="J2", kind="electrical", after=("S3",)),
        ),
        "steps": STEPS,
        "rates": RATES,
        "factors": (),
    }
    return branch(**(given | tables))


def book_of(**tables: Any) -> Book:
    small = small_branch(**tables)
    return open_book(small, take_off_all(small))


def day(offset: int) -> date:
    """Days after the first Monday."""
    return date.fromordinal(MONDAY.toordinal() + offset)


def worked(
    who: str,
    hours: float,
    *,
    at: str = "S1",
    on: int = 0,
    cause: Any = "",
    note: str = "",
    about: str = "",
    step: str = "",
) -> HoursWorked:
    return HoursWorked(day(on), at, who, hours, step, cause, note, about)


def done(step: str, share: float, *, at: str = "S1", on: int = 0) -> Progress:
    return Progress(day(on), at, step, share)


some_hours = st.builds(
    worked,
    st.sampled_from(["Ann", "Bo", "Cy", "Gone", "Away"]),
    st.integers(1, 2400).map(lambda hundredths: hundredths / 100),
    at=st.sampled_from(["S1", "S2", "S3", "S4"]),
    on=st.integers(0, 40),
    cause=st.sampled_from(["", "", *get_args(Cause)]),
    note=st.sampled_from(["", "no end clamps left", "gusts"]),
    step=st.sampled_from(["", "protect"]),
    about=st.sampled_from(["", "", "Hill", "gust", "End Clamp", "Sun Supply", "strap", " STRAP "]),
)
some_progress = st.lists(
    st.builds(
        done,
        st.sampled_from(["protect", "attach", "wire"]),
        st.integers(0, 100).map(lambda percent: percent / 100),
        at=st.sampled_from(["S1", "S2", "S3", "S4"]),
        on=st.integers(0, 40),
    ),
    max_size=20,
    unique_by=lambda row: (row.day, row.stage, row.step),
)
