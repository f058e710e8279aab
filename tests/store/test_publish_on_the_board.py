"""A manager publishes the week that the board shows, and puts the former back."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from form_boards import LEAD, MANAGER, MONDAY, OFFICE, OWNER, client_of
from form_pages import done, fields_in, filled, opened, sent
from store_cases import AT, now_in, tables_into

from crewplan.model.account import Actor
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.board_view import BoardView
from crewplan.running.clock import Clock
from crewplan.running.viewing import board_view
from crewplan.store.connecting import Store
from crewplan.store.entering import edit
from crewplan.store.expectations import kept_expectations
from crewplan.store.following import newest_number
from crewplan.store.former_plan import standing_plan
from crewplan.store.reading import read_branch

HERE = "/enter/publish"
STAGES = (
    "stage,job,kind,after,gap_days,certificates,equipment,min_people,share\n"
    "S1,J1,roof,,,,,2,\nS2,J2,electrical,,,,,1,\n"
)
IN_HAND = "job,kind,state,asked_on,granted_on,expected_on\n" + "".join(
    f"{job},{kind},granted,2026-04-01,2026-04-20,\n"
    for job in ("J1", "J2")
    for kind in ("permit", "survey", "utility_approval")
)
"""S1 has no forecast and stays out; S2 is electrical work, and all of it is in hand."""
Look = Callable[..., BoardView]


@pytest.fixture
def look(branch_store: Store, source: str, tmp_path: Path) -> Look:
    """The look that a board on the database makes of what it holds now."""
    tables_into(branch_store, tmp_path / "ready", stages=STAGES, requirements=IN_HAND)

    def made(**altered: object) -> BoardView:
        with branch_store.read() as connection:
            version = newest_number(connection)
        clock = Clock(MONDAY, "set by hand")
        view = board_view(read_branch(source), clock, seconds=1, version=version)
        return replace(view, **altered)  # type: ignore[arg-type]

    return made


def published(store: Store) -> tuple[int, int]:
    """Number of the newest plan, and how many rows it has."""
    with store.read() as connection:
        plan = standing_plan(connection)
    return (plan.number if plan else 0, len(now_in(store).rows.get("plan", ())))


def refuse(store: Store) -> None:
    """What S2 waits for is refused after all."""
    values = {"state": "refused", "granted_on": ""}
    key = ("J2", "utility_approval")
    edit(store, "requirements", key, values, "olga", AT, expected_version=3)


def press(page: str, what: str) -> dict[str, str]:
    """The page's fields with a button; those of the last form for putting back."""
    form = page if what == "publish" else page[page.rindex("<form") :]
    return fields_in(form).to_dict() | {"wanted": what}


def test_the_week_on_the_board_becomes_the_published_plan_with_what_it_expects(
    branch_store: Store, source: str, look: Look
) -> None:
    view = look()
    client = client_of(source, MANAGER, view)
    page = opened(client, HERE)
    assert "Nothing is published yet." in page
    assert f"Publish {len(view.plan.planned)} placement" in page
    assert "Published: it is plan 1 now." in done(client, HERE, page, wanted="publish")
    assert now_in(branch_store).rows["plan"] == plan_rows(view.plan)
    with branch_store.read() as connection:
        kept = kept_expectations(connection)
    assert [row.expected.stage for row in kept] == [
        row.placement.stage for row in view.plan.planned
    ]
    assert {row.asked_at for row in kept} == {MONDAY}
    # the look is older than the plan now: nothing more is published from it
    assert "A newer one is being made" in opened(client, HERE)
    again = opened(client_of(source, MANAGER, look()), HERE)
    assert "as published: there is nothing to publish" in again
    assert 'value="publish"' not in again


def test_what_moves_and_who_must_be_told_is_shown_and_the_former_plan_can_be_put_back(
    branch_store: Store, source: str, look: Look
) -> None:
    client = client_of(source, MANAGER, look())
    done(client, HERE, opened(client, HERE), wanted="publish")
    first = now_in(branch_store).rows["plan"]
    refuse(branch_store)
    view = look()
    assert "S2" in {out.stage for out in view.plan.unplaced}
    client = client_of(source, MANAGER, view)
    page = opened(client, HERE)
    assert "What changes against the published plan" in page
    assert "left out" in page
    assert "<h2>Who must be told</h2>" in page
    assert "S2: no day for now" in page
    told = done(client, HERE, page, wanted="publish", sure="yes")  # nothing is placed at all
    assert "plan 2 now" in told
    assert "S2" not in {row.stage for row in now_in(branch_store).rows["plan"]}
    back = opened(client, HERE)
    assert "Put plan 1 back" in back
    answer = sent(client, HERE, press(back, "put back"))  # type: ignore[arg-type]
    assert answer.status_code == 303
    assert "Put back: it is plan 3 now." in opened(client, answer.headers["Location"])
    assert now_in(branch_store).rows["plan"] == first
    with branch_store.read() as connection:
        kept = kept_expectations(connection)
    assert [r.expected for r in kept if r.plan == 3] == [r.expected for r in kept if r.plan == 1]


def test_what_was_not_seen_is_not_published(
    branch_store: Store, source: str, look: Look, tmp_path: Path
) -> None:
    old = look()
    later = look(asked_at=MONDAY + timedelta(hours=1))
    client, other, newer = (client_of(source, MANAGER, view) for view in (old, old, later))
    page, theirs = opened(client, HERE), opened(other, HERE)
    seen = fields_in(page)["seen"]
    answer = sent(newer, HERE, filled(opened(newer, HERE), wanted="publish", seen=seen))
    assert answer.status_code == 409
    assert "the week on the board is another since you opened this page" in answer.text
    done(other, HERE, theirs, wanted="publish")
    answer = sent(client, HERE, filled(page, wanted="publish"))
    assert answer.status_code == 409
    assert "another plan was published since you opened this page" in answer.text
    assert published(branch_store)[0] == 1
    refuse(branch_store)
    fresh = client_of(source, MANAGER, look())
    page = opened(fresh, HERE)
    tables_into(branch_store, tmp_path / "later", requirements=IN_HAND + "J1,hoa,open,,,\n")
    answer = sent(fresh, HERE, filled(page, wanted="publish", sure="yes"))
    assert answer.status_code == 409
    assert "an import by ann came in while the plan was made" in answer.text
    assert sent(fresh, HERE, filled(page, wanted="else")).status_code == 422
    assert published(branch_store)[0] == 1


def test_a_former_plan_that_rests_on_other_tables_is_not_put_back(
    branch_store: Store, source: str, look: Look, tmp_path: Path
) -> None:
    client = client_of(source, MANAGER, look())
    done(client, HERE, opened(client, HERE), wanted="publish")
    assert "put back" not in opened(client, HERE)  # nothing stood before it
    rows = "".join(
        f"{row.stage},{row.part},{row.crew},{row.start_on},{row.start_half},{row.half_days},no\n"
        for row in now_in(branch_store).rows["plan"]
    )
    header = "stage,part,crew,start_on,start_half,half_days,pinned\n"
    tables_into(branch_store, tmp_path / "later", plan=header + rows, stages=STAGES)
    client = client_of(source, MANAGER, look(version=99))
    page = opened(client, HERE)
    sent(client, HERE, filled(page, wanted="publish", seen=f"99 {MONDAY.isoformat()}"))
    page = opened(client, HERE)
    answer = sent(client, HERE, press(page, "put back"))  # type: ignore[arg-type]
    assert answer.status_code == 409


def test_a_week_on_an_old_forecast_is_asked_about(
    branch_store: Store, source: str, look: Look
) -> None:
    void = datetime.now(UTC) - timedelta(hours=1)
    client = client_of(source, MANAGER, look(clock="now", chances_void_after=void))
    answer = sent(client, HERE, filled(opened(client, HERE), wanted="publish"))
    assert answer.status_code == 409
    assert "too old to plan by since" in answer.text
    assert published(branch_store) == (0, 0)
    answer = sent(client, HERE, filled(answer.text, sure="yes"))
    assert answer.status_code == 303
    assert published(branch_store)[0] == 1


@pytest.mark.parametrize("actor", [OFFICE, OWNER, LEAD])
def test_only_a_manager_publishes(
    branch_store: Store, source: str, look: Look, actor: Actor
) -> None:
    view = look()
    manager, other = client_of(source, MANAGER, view), client_of(source, actor, view)
    page = opened(manager, HERE)
    assert other.get(HERE).status_code == 403
    assert sent(other, HERE, filled(page, wanted="publish")).status_code == 403
    assert HERE not in other.get("/enter").text
    assert HERE in opened(manager, "/enter")
    assert published(branch_store) == (0, 0)
