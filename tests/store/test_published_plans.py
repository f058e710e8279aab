"""Plans are numbered and stay; one is made at a time; what is entered meanwhile is kept."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select
from store_cases import AT, PLAN, folder_with, look, now_in, tables_into

from crewplan.model.plan_row import PlanRow
from crewplan.store.connecting import Store
from crewplan.store.entering import edit, enter
from crewplan.store.faults import NotDone, SolveUnderWay
from crewplan.store.history import history
from crewplan.store.leases import give_back, take_lease
from crewplan.store.publishing_plan import Published, publish
from crewplan.store.schema import PLANS

ROWS = (
    PlanRow("S1", "Blue", date(2026, 5, 4), half_days=2),
    PlanRow("S3", "Red", date(2026, 5, 5), "pm"),
)
HOURS = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "3.5"}


def _publish(store: Store, rows: tuple[PlanRow, ...], version: int) -> Published:
    with store.write() as connection:
        return publish(connection, rows, "ann", AT, version)


def test_each_published_plan_has_the_next_number_and_the_newest_is_the_branchs(
    branch_store: Store,
) -> None:
    assert _publish(branch_store, ROWS, 1).number == 1
    later = (replace(ROWS[0], start_on=date(2026, 5, 6)),)
    assert _publish(branch_store, later, 2).number == 2
    assert now_in(branch_store).rows["plan"] == later
    assert now_in(branch_store, 2).rows["plan"] == ROWS
    assert "plan" in now_in(branch_store).present
    assert "plan" not in now_in(branch_store, 1).present


def test_the_history_says_placed_moved_and_left(branch_store: Store) -> None:
    _publish(branch_store, ROWS, 1)
    _publish(branch_store, (replace(ROWS[0], start_on=date(2026, 5, 6), pinned=True),), 2)
    _publish(branch_store, (ROWS[1],), 3)
    with branch_store.read() as connection:
        told = [(e.how, e.what) for e in history(connection, "S1") if e.table == "plan"]
    assert told == [
        ("plan 1", "placed on 2026-05-04 am with Blue, 2 half-days"),
        (
            "plan 2",
            "moved from 2026-05-04 am with Blue, 2 half-days to 2026-05-06 am with Blue, "
            "2 half-days; pinned",
        ),
        ("plan 3", "left the plan; it was on 2026-05-06 am with Blue, 2 half-days"),
    ]


def test_a_plan_that_came_in_with_an_import_is_numbered_too(
    branch_store: Store, tmp_path: Path
) -> None:
    tables_into(branch_store, tmp_path / "p", plan=PLAN)
    with branch_store.read() as connection:
        assert [tuple(row) for row in connection.execute(select(PLANS))] == [(1, 2)]


def test_the_folders_old_plan_does_not_undo_what_was_published(
    branch_store: Store, tmp_path: Path
) -> None:
    folder = tmp_path / "p"
    tables_into(branch_store, folder, plan=PLAN)
    _publish(branch_store, ROWS, 2)
    assert not look(branch_store, folder).is_change
    people = (folder / "people.csv").read_text().replace("Bob", "Bert")
    tables_into(branch_store, folder, people=people)
    assert now_in(branch_store).rows["plan"] == ROWS
    changed = PLAN.replace("am", "pm")
    tables_into(branch_store, folder, plan=changed)
    assert [row.start_half for row in now_in(branch_store).rows["plan"]] == ["pm"]


def test_entries_made_during_a_solve_are_kept_and_told(branch_store: Store) -> None:
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    done = _publish(branch_store, ROWS, 1)
    assert done.flagged == (
        "version 2 was entered by bob while the plan was made; "
        "it is kept, and the plan does not know of it.",
    )
    assert len(now_in(branch_store).rows["hours_worked"]) == 1


def test_a_pin_set_during_a_solve_stays_on_the_new_plan(branch_store: Store) -> None:
    _publish(branch_store, ROWS, 1)
    values = {"pinned": "yes"}
    edit(branch_store, "plan", ("S1", "1"), values, "meg", AT, expected_version=2)
    _publish(branch_store, ROWS, 2)
    assert [row.pinned for row in now_in(branch_store).rows["plan"]] == [True, False]


@pytest.mark.parametrize("rows", [(replace(ROWS[0], crew="Red"),), ()], ids=["moved", "left out"])
def test_a_plan_that_moves_what_was_pinned_meanwhile_is_not_published(
    branch_store: Store, rows: tuple[PlanRow, ...]
) -> None:
    _publish(branch_store, ROWS, 1)
    values = {"pinned": "yes"}
    edit(branch_store, "plan", ("S1", "1"), values, "meg", AT, expected_version=2)
    with pytest.raises(NotDone, match="S1 was pinned to 2026-05-04 am"):
        _publish(branch_store, rows, 2)
    assert [row.stage for row in now_in(branch_store).rows["plan"]] == ["S1", "S3"]


def test_a_plan_made_from_tables_that_were_replaced_meanwhile_is_not_published(
    branch_store: Store, tmp_path: Path
) -> None:
    folder = folder_with(tmp_path / "b")
    people = (folder / "people.csv").read_text().replace("Bob", "Bert")
    tables_into(branch_store, folder, people=people, by="ann")
    with pytest.raises(NotDone, match="an import by ann came in"):
        _publish(branch_store, ROWS, 1)
    _publish(branch_store, ROWS, 2)
    with pytest.raises(NotDone, match="another plan by ann"):
        _publish(branch_store, ROWS, 2)


def test_one_solve_at_a_time_and_a_dead_ones_lease_runs_out(branch_store: Store) -> None:
    now = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
    token = take_lease(branch_store, "ann", 60, now)
    with pytest.raises(SolveUnderWay, match=r"ann is having a plan made; .* 23:01:00 UTC"):
        take_lease(branch_store, "bob", 60, now + timedelta(seconds=59))
    later = take_lease(branch_store, "bob", 60, now + timedelta(seconds=61))
    give_back(branch_store, token)  # ann's comes too late to end bob's
    with pytest.raises(SolveUnderWay, match="bob"):
        take_lease(branch_store, "cid", 60, now + timedelta(seconds=62))
    give_back(branch_store, later)
    take_lease(branch_store, "cid", 60, now + timedelta(seconds=62))
