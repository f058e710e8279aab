"""Where a crew that is done early may go on: by hand, one reason at a time."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import job, stage

from crewplan.model.plan_row import PlanRow
from crewplan.scheduling.done_early import OnTheWay, next_when_early

TODAY, NEXT, LATER = date(2026, 5, 7), date(2026, 5, 8), date(2026, 5, 11)
LATE = job("J2", earliest_on=date(2026, 4, 1), due_on=date(2026, 5, 6))
IN_TIME = replace(LATE, due_on=date(2026, 6, 1))


def _next(
    waiting: Any = LATE,
    row: PlanRow | None = None,
    begun: frozenset[str] = frozenset(),
    visited: dict[str, list[str]] | None = None,
    fair: Callable[[str], bool] = lambda _: True,
    **of_stage: Any,
) -> dict[str, tuple[str, ...]]:
    first = job("J1", earliest_on=date(2026, 4, 1), due_on=date(2026, 6, 1))
    stages = {
        one.stage: one
        for one in (
            stage("S1", job="J1"),
            stage("S2", **({"job": "J2"} | of_stage)),
            stage("S3", job="J2", kind="electrical"),
        )
    }
    known = OnTheWay(stages, {"J1": first, "J2": waiting}, {"S1", "S2", "S3"} - begun, begun)
    rows = (PlanRow("S1", "Alder", TODAY), row or PlanRow("S2", "Alder", NEXT))
    return next_when_early(
        known, rows, TODAY, NEXT, visited or {"Alder": ["S1"], "Birch": []}, fair
    )


def test_its_own_next_day_where_the_promise_is_past() -> None:
    assert _next() == {"Alder": ("S2",)}


def test_also_where_somebody_has_begun_the_job() -> None:
    assert _next(IN_TIME) == {"Alder": ()}
    assert _next(IN_TIME, begun=frozenset({"S3"})) == {"Alder": ("S2",)}


@pytest.mark.parametrize(("due_on", "there"), [(TODAY, True), (NEXT, True), (LATER, False)])
def test_a_promise_falls_on_the_next_day_or_before_it(due_on: date, there: bool) -> None:
    assert _next(replace(LATE, due_on=due_on)) == {"Alder": ("S2",) if there else ()}


def test_not_where_the_weather_is_likely_to_stop_it() -> None:
    assert _next(fair=lambda stage: stage != "S2") == {"Alder": ()}


@pytest.mark.parametrize(
    "row",
    [
        PlanRow("S2", "Birch", NEXT),
        PlanRow("S2", "Alder", LATER),
        PlanRow("S2", "Alder", NEXT, part=2),
    ],
    ids=["another crew's", "a later day", "a later part"],
)
def test_nothing_but_its_own_next_day(row: PlanRow) -> None:
    assert _next(row=row) == {"Alder": ()}


@pytest.mark.parametrize(
    "waiting",
    [
        replace(LATE, customer_days=((NEXT, LATER),)),
        replace(LATE, earliest_on=NEXT),
    ],
    ids=["the customer allows other days", "its earliest day"],
)
def test_not_on_a_day_that_the_job_does_not_allow(waiting: Any) -> None:
    assert _next(waiting) == {"Alder": ()}


@pytest.mark.parametrize(
    "of_stage",
    [{"kind": "inspection"}, {"gap_days": 1}, {"after": ("S3",)}],
    ids=["an appointment", "a gap to keep", "another stage first"],
)
def test_not_what_is_made_for_its_day(of_stage: dict[str, Any]) -> None:
    assert _next(**of_stage) == {"Alder": ()}


def test_what_follows_its_own_work_of_the_day_may_be_gone_on_to() -> None:
    assert _next(after=("S1",)) == {"Alder": ("S2",)}
    assert _next(after=("S1",), visited={"Alder": ["S3"]}) == {"Alder": ()}


def test_a_crew_that_stays_at_home_goes_nowhere() -> None:
    assert _next(visited={"Alder": [], "Birch": []}) == {}


def test_a_stage_that_another_crew_is_at_is_left_to_it() -> None:
    assert _next(visited={"Alder": ["S1"], "Birch": ["S2"]}) == {"Alder": (), "Birch": ()}
