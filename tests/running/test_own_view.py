"""What a lead may know: their crews, without money, and nothing that somebody forgot."""

from dataclasses import fields, replace
from typing import Any

from board_views import CREWS, full_view

from crewplan.model.branch import Branch
from crewplan.model.placement import Part
from crewplan.model.settings import FeedSettings, Settings
from crewplan.model.tables import TABLES
from crewplan.running import own_view as reducing
from crewplan.running.board_view import BoardView
from crewplan.running.own_view import MONEY_COLUMNS, own_view


def texts_in(value: Any) -> str:
    """Everything that a view holds, as one text; the weather is everybody's."""
    if isinstance(value, (BoardView, Branch)):
        kept = [f.name for f in fields(value) if not f.name.startswith("weather")]
        return " ".join(texts_in(getattr(value, name)) for name in kept)
    return repr(value)


def test_every_column_of_money_is_known_by_name() -> None:
    named = {field.name for table in TABLES for field in fields(table.row)}
    assert {name for name in named if "price" in name or "cost" in name} == MONEY_COLUMNS


def test_every_field_says_what_stays_of_it_for_a_lead() -> None:
    assert set(reducing._BRANCH) == {field.name for field in fields(Branch)}
    assert set(reducing._VIEW) == {field.name for field in fields(BoardView)}


def test_a_lead_s_view_has_their_crews_their_jobs_and_their_people() -> None:
    view = full_view()
    own = own_view(view, frozenset({"Alder", "Birch"}))
    assert {p.placement.crew for p in own.plan.planned} == {"Alder", "Birch"}
    assert [crew.crew for crew in own.branch.crews] == ["Alder", "Birch"]
    jobs = {p.job for p in view.plan.planned if p.placement.crew in ("Alder", "Birch")}
    assert {job.job for job in own.branch.jobs} == jobs
    assert set(own.takeoffs) == jobs
    held = texts_in(own)
    assert all(f"{crew} lead" not in held for crew in CREWS[2:])
    published_elsewhere = {row.stage for row in own.branch.plan}
    assert "S3" not in published_elsewhere  # the test branch publishes it with Dogwood


def test_a_lead_s_view_holds_no_price_and_no_cost() -> None:
    own = own_view(full_view(), frozenset({"Alder"}))
    rows = [
        row
        for name in ("people", "jobs", "items", "equipment")
        for row in getattr(own.branch, name)
    ]
    amounts = [getattr(row, name) for row in rows for name in MONEY_COLUMNS if hasattr(row, name)]
    assert amounts
    assert set(amounts) == {0.0}
    assert {p.placement.cents for p in own.plan.planned} == {0}
    assert (own.plan.objective, own.plan.bound, own.plan.rule_of_thumb, own.plan.parts) == (
        0,
        0,
        0,
        {},
    )


def test_the_parts_of_a_job_that_is_left_open_carry_no_price_to_a_lead() -> None:
    view = full_view()
    parted = []
    for planned in view.plan.planned:
        one = planned.placement
        part = Part(one.cells, one.people, 8.0, 9.0, 0.0, one.cost)
        parted.append(replace(planned, placement=replace(one, parts=(part, part))))
    own = own_view(
        replace(view, plan=replace(view.plan, planned=tuple(parted))), frozenset({"Alder"})
    )
    costs = [part.cost for p in own.plan.planned for part in p.placement.parts]
    assert costs
    assert not any(costs)


def test_a_lead_s_view_has_the_hours_of_their_own_people_and_stages_only() -> None:
    own = own_view(full_view(), frozenset({"Alder"}))
    worked = own.worked()
    assert {person for person, _ in worked.of_people} == {"Alder lead"}  # nobody else wrote any
    assert worked.of_stages
    assert {stage for stage, _ in worked.of_stages} <= {row.stage for row in own.branch.stages}


def test_whoever_has_no_crew_sees_no_job() -> None:
    own = own_view(full_view(), frozenset())
    assert (own.branch.jobs, own.branch.people, own.plan.planned) == ((), (), ())
    assert "Household" not in texts_in(own)


def test_a_lead_s_settings_hold_no_price_and_no_key() -> None:
    view = full_view()
    prices = {"lending_cost_per_day": 71.5, "crew_lent_per_day": 72.5, "other_crew_cost": 73.5,
              "uneven_hour_cost": 74.5, "open_day_cost": 75.5}  # fmt: skip
    known = {f.name for f in fields(Settings) if "cost" in f.name or "per_day" in f.name}
    assert known == set(prices)
    feed = FeedSettings("ensemble", key="a-secret")
    told = replace(view.branch.settings, feed=feed, **prices)
    own = own_view(replace(view, branch=replace(view.branch, settings=told)), frozenset({"Alder"}))
    said = repr(own.branch.settings)
    assert "a-secret" not in said
    assert not [amount for amount in prices.values() if str(amount) in said]
