"""A closed month keeps its figures whatever is entered after; what is, is told as a correction."""

import json
import shutil
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import get_args

import pytest
from form_boards import LEAD, client_of
from form_pages import done, filled, opened, sent
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from store_cases import AT, PLAN, Done, folder_with, tables_into

from crewplan.model.closed import days_of, whole_month
from crewplan.model.ledger import By, Span
from crewplan.running.clock import Clock
from crewplan.running.demo import demo_folder
from crewplan.running.hours_record import all_groupings, hours_record
from crewplan.store.closed_months import close_month, closed_figures
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import enter
from crewplan.store.expectations import kept_expectations
from crewplan.store.faults import NotDone, StoreFault
from crewplan.store.place import place_of
from crewplan.store.reading import read_branch
from crewplan.store.versions import version_at

Run = Callable[..., Done]
MONTH, SPAN = "2026-04", Span(date(2026, 4, 1), date(2026, 4, 30))
CLOCK = Clock(AT, "set by hand")
NOW = ("--now", "2026-05-03T18:00:00-05:00")
HOURS = """day,stage,person,hours,cause,note,about
2026-04-01,S1,Ann,8.1,,,
2026-04-30,S1,Bob,2.25,weather,,gust
2026-05-01,S1,Bob,4,,,
"""
APRIL = ("--from", "2026-04-01", "--to", "2026-04-30")


def row(day: str, hours: str, cause: str = "", person: str = "Ann") -> dict[str, str]:
    return {"day": day, "stage": "S1", "person": person, "hours": hours, "cause": cause}


def close(store: Store, source: str, by: str = "otto") -> None:
    with store.read() as connection:
        version = version_at(connection, None).number
    records = all_groupings(read_branch(source), CLOCK, SPAN)
    with store.write() as connection:
        close_month(connection, MONTH, records, by, AT, version)


@pytest.mark.parametrize(
    ("span", "month"),
    [
        (SPAN, "2026-04"),
        (Span(date(2024, 2, 1), date(2024, 2, 29)), "2024-02"),
        (Span(date(2026, 4, 1), date(2026, 4, 29)), None),
        (Span(date(2026, 4, 1), date(2026, 5, 31)), None),
        (Span(), None),
    ],
)
def test_only_a_month_from_its_first_to_its_last_day_is_one(span: Span, month: str | None) -> None:
    assert whole_month(span) == month
    if month:
        assert days_of(month) == span


entries = st.lists(
    st.builds(
        row,
        st.integers(1, 30).map(lambda day: f"2026-04-{day:02d}"),
        st.integers(1, 2400).map(lambda hundredths: str(hundredths / 100)),
        st.sampled_from(["", "weather", "rework"]),
        st.sampled_from(["Ann", "Bob", "Cid"]),
    ),
    min_size=1,
    max_size=6,
)


@pytest.fixture(scope="module")
def growing(tmp_path_factory: pytest.TempPathFactory) -> tuple[Store, str, dict[By, str]]:
    """A file whose April is closed, and the figures of April before."""
    home = tmp_path_factory.mktemp("growing")
    source = str(home / "b")
    store = open_store(place_of(source), create=True)
    tables_into(store, home / "first", hours_worked=HOURS)
    before = {one.by: repr(one) for one in all_groupings(read_branch(source), CLOCK, SPAN)}
    close(store, source)
    return store, source, before


@settings(max_examples=8, deadline=None)
@given(new=entries)
def test_closing_freezes_every_figure_of_the_month_in_every_grouping(
    growing: tuple[Store, str, dict[By, str]], new: list[dict[str, str]]
) -> None:
    """Each example enters more into the same branch."""
    store, source, before = growing
    with store.read() as connection:
        former = closed_figures(connection, MONTH, "job")
    assert former is not None
    was = hours_record(read_branch(source), CLOCK, "job", SPAN).in_all.worked_h
    for values in new:
        enter(store, "hours_worked", values, "bob", AT)
    with store.read() as connection:
        for by in get_args(By):
            found = closed_figures(connection, MONTH, by)
            assert found is not None
            assert repr(found[0]) == before[by]
            assert len(found[1].corrections) == len(former[1].corrections) + len(new)
    live = hours_record(read_branch(source), CLOCK, "job", SPAN).in_all.worked_h
    assert live == was + sum(Decimal(values["hours"]) for values in new)


@pytest.fixture
def closed(store: Store, source: str, tmp_path: Path) -> Store:
    """A database whose April is closed."""
    tables_into(store, tmp_path / "first", hours_worked=HOURS, plan=PLAN)
    close(store, source)
    return store


def test_a_closed_month_says_so_and_tells_what_was_entered_since(
    closed: Store, source: str, crewplan: Run
) -> None:
    enter(closed, "hours_worked", row("2026-04-07", "3"), "bob", AT)
    enter(closed, "hours_worked", row("2026-05-02", "5"), "bob", AT)
    told = crewplan("hours", source, *APRIL, "--format", "json", *NOW)
    answer = json.loads(told.stdout)
    assert answer["in_all"]["worked_h"] == 10.35
    assert answer["closed"]["by"] == "otto"
    (correction,) = answer["closed"]["corrections"]
    assert correction["was"] == ""
    assert correction["now"] == "2026-04-07, S1, Ann, 3"
    assert "2026-04 was closed by otto on" in told.stderr
    assert "1 correction since closing, in none of these figures:" in told.stderr
    whole = crewplan("hours", source, "--format", "json", *NOW)
    assert json.loads(whole.stdout)["in_all"]["worked_h"] == 22.35
    assert json.loads(whole.stdout)["closed"] is None
    part = crewplan("hours", source, "--from", "2026-04-02", *APRIL[2:], "--format", "json", *NOW)
    assert json.loads(part.stdout)["closed"] is None


def test_prices_and_people_that_change_later_change_no_closed_month(
    closed: Store, source: str, crewplan: Run, tmp_path: Path
) -> None:
    asked = ("hours", source, "--margins", "--format", "csv", *NOW)
    before, whole = crewplan(*asked, *APRIL).stdout, crewplan(*asked).stdout
    folder = folder_with(tmp_path / "dearer", hours_worked=HOURS, plan=PLAN)
    for name, was, now in (("people", "lead,40", "lead,55"), ("jobs", ",18000,", ",19000,")):
        table = folder / f"{name}.csv"
        table.write_text(table.read_text().replace(was, now))
    assert crewplan("import", folder, "--to", source, "--accept").returncode == 0
    assert crewplan(*asked, *APRIL).stdout == before
    assert crewplan(*asked).stdout != whole


def test_a_month_is_closed_once_when_it_is_over_and_only_in_a_database(
    closed: Store, source: str, crewplan: Run, tmp_path: Path
) -> None:
    again = crewplan("hours", source, "--close", MONTH, *NOW)
    assert (again.returncode, again.stdout) == (1, "")
    assert "2026-04 was closed by otto on" in again.stderr
    early = crewplan("hours", source, "--close", "2026-05", *NOW)
    assert (early.returncode, "is not over yet" in early.stderr) == (64, True)
    assert crewplan("hours", source, "--close", "April", *NOW).returncode == 64
    tables = folder_with(tmp_path / "tables")
    plain = crewplan("hours", tables, "--close", MONTH, *NOW)
    assert (plain.returncode, "has no database" in plain.stderr) == (64, True)
    march = crewplan("hours", source, "--close", "2026-03", "--closed-by", "Ada", *NOW)
    assert (march.returncode, march.stdout.split(";")[0]) == (0, "2026-03 is closed: 0.00 h")


def test_what_is_entered_while_a_month_is_being_closed_stops_the_closing(
    store: Store, source: str, tmp_path: Path
) -> None:
    tables_into(store, tmp_path / "first", hours_worked=HOURS)
    records = all_groupings(read_branch(source), CLOCK, SPAN)
    enter(store, "hours_worked", row("2026-04-07", "3"), "bob", AT)
    told = pytest.raises(NotDone, match="bob changed the tables meanwhile")
    with told, store.write() as connection:
        close_month(connection, MONTH, records, "otto", AT, 1)
    with store.read() as connection:
        assert closed_figures(connection, MONTH, "job") is None


def test_nobody_can_change_a_closing_in_the_database(closed: Store) -> None:
    told = pytest.raises((DBAPIError, StoreFault), match="never changed")
    with told, closed.write() as connection:
        connection.execute(text("UPDATE records SET contents = '{}' WHERE kind = 'month'"))


def test_hours_of_a_day_in_a_closed_month_are_asked_about_in_the_form(
    closed: Store, source: str
) -> None:
    client = client_of(source, LEAD)
    page = opened(client, "/enter/hours?stage=S1")
    typed = {"day": "2026-04-07", "hours": "3", "person": ["Ann"]}
    asked = sent(client, "/enter/hours?stage=S1", filled(page, **typed))
    assert "in a month that was closed on" in asked.text
    done(client, "/enter/hours?stage=S1", page, **typed, sure="yes")
    with closed.read() as connection:
        found = closed_figures(connection, MONTH, "job")
    assert found is not None
    assert [one.by for one in found[1].corrections] == ["Lea"]


def test_what_a_published_plan_expects_is_kept_with_its_number_and_told_in_the_history(
    crewplan: Run, tmp_path: Path
) -> None:
    folder = tmp_path / "branch"
    shutil.copytree(demo_folder(), folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    settings = folder / "branch.toml"
    settings.write_text(settings.read_text().partition("[demo]")[0], encoding="utf-8")
    assert crewplan("import", folder, "--accept").returncode == 0
    published = crewplan("plan", folder, "--publish", "--format", "json", *NOW)
    placed = json.loads(published.stdout)["placements"]
    assert placed, published.stderr
    with open_store(place_of(str(folder))).read() as connection:
        kept = kept_expectations(connection)
    assert [one.plan for one in kept] == [2] * len(placed)  # its tables brought plan 1
    for one, told in zip(kept, placed, strict=True):
        expected = one.expected
        assert (expected.stage, expected.crew) == (told["stage"], told["crew"])
        chances = (expected.p_go, expected.p_finish, expected.p_ready, expected.lost_h)
        assert chances == pytest.approx(
            [told[name] for name in ("p_go", "p_finish", "p_ready", "lost_h")], abs=1e-4
        )
        assert str(expected.days[0]) == told["start_on"]
        assert one.asked_at.isoformat() == NOW[1]
    history = crewplan("history", folder, placed[0]["stage"]).stdout
    assert f"plan 2 expected from {placed[0]['start_on']}" in history
    held = json.loads(crewplan("hours", folder, "--expected", "--format", "json", *NOW).stdout)
    assert (held["plans"], held["judged"], held["to_come"]) == (1, 0, len(placed))


def test_a_folder_without_a_database_says_that_nothing_is_kept(
    crewplan: Run, tmp_path: Path
) -> None:
    told = crewplan("hours", folder_with(tmp_path / "b"), "--expected", *NOW)
    assert told.returncode == 0
    assert "only kept where a branch has a database" in told.stderr
