"""People lent between crews are named wherever a plan is told, and both crews hear of a change.

The invented week: on Monday the installer of Birch goes with Alder to S1; Birch does S2 without.
"""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from board_views import MONDAY, full_view

from crewplan.model.account import Actor
from crewplan.model.lent import LentChange, LentDay
from crewplan.model.plan_row import PlanRow
from crewplan.publishing.csv_text import csv_text
from crewplan.publishing.diff_text import diff_json, diff_text
from crewplan.publishing.evening_text import evening_text
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.board_view import BoardView
from crewplan.running.clock import Clock
from crewplan.running.evening import evening_notes
from crewplan.running.own_view import own_view
from crewplan.running.published_lent import lent_since_published, published_lent
from crewplan.scheduling.lent_days import lent_days
from dashboard.app import create_app
from dashboard.entries.forms.publish import _compared
from dashboard.pages.tomorrow import tomorrow_page
from dashboard.pages.week import week_page
from dashboard.phone.addresses import phone_page
from dashboard.plain_html import to_html
from dashboard.tables.plan_tables import week_sheet

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
WHO = "Birch installer"
LENT = LentDay(MONDAY, WHO, "Birch", "Alder", ("S1",), ("S2",))
ROWS = (
    PlanRow("S1", "Alder", MONDAY, half_days=2, lent=(WHO,)),
    PlanRow("S2", "Birch", MONDAY, half_days=2),
)
NEW = LentChange(MONDAY, WHO, "Birch", "Birch", "Alder")


def lending(published: tuple[PlanRow, ...] = ()) -> BoardView:
    """The full view with somebody lent in its plan."""
    view = full_view()

    def altered(planned):  # type: ignore[no-untyped-def]
        more = {"S1": {"joined": (WHO,)}, "S2": {"lent_away": (WHO,)}}
        changes = more.get(planned.placement.stage, {})
        return replace(planned, placement=replace(planned.placement, **changes))

    plan = replace(view.plan, planned=tuple(map(altered, view.plan.planned)))
    people = tuple(
        replace(row, phone="555-0177") if row.person == "Alder lead" else row
        for row in view.branch.people
    )
    branch = replace(view.branch, plan=published, people=people, present=frozenset({"plan"}))
    return replace(view, plan=plan, branch=branch, lent=lent_days(people, plan))


def test_a_plan_says_who_is_lent_where_and_what_goes_on_without() -> None:
    assert lending().lent == (LENT,)


def test_published_rows_say_the_same_as_the_plan_that_they_came_from() -> None:
    view = lending()
    branch = replace(view.branch, plan=plan_rows(view.plan))
    assert published_lent(branch, {MONDAY}) == (LENT,)
    assert published_lent(branch, {date(2026, 5, 5)}) == ()
    assert lent_since_published(branch, view.plan) == ()


@pytest.mark.parametrize(
    ("published", "change", "words"),
    [
        (("S1", ()), NEW, "goes with crew Alder"),
        (
            ("S3", (WHO,)),  # of Cedar
            replace(NEW, before="Cedar"),
            "goes with crew Alder in place of crew Cedar",
        ),
    ],
)
def test_a_change_names_the_person_the_day_and_every_crew_that_must_hear(
    published: tuple[str, tuple[str, ...]], change: LentChange, words: str
) -> None:
    stage, lent = published
    crew = "Alder" if stage == "S1" else "Cedar"
    view = lending((PlanRow(stage, crew, MONDAY, half_days=2, lent=lent),))
    assert lent_since_published(view.branch, view.plan) == (change,)
    text = diff_text(view.branch, view.plan, (), (change,), "")
    assert f"Mon 2026-05-04: {WHO} of crew Birch {words}" in text
    for heard in change.crews:
        assert f"Crew {heard} ({heard} lead), 555-01" in text
    assert "is as published" not in text


def test_whoever_is_no_longer_lent_is_told_to_stay_at_home() -> None:
    view = replace(full_view(), branch=lending(ROWS).branch)
    [change] = lent_since_published(view.branch, view.plan)
    assert change == replace(NEW, before="Alder", after="Birch")
    text = diff_text(view.branch, view.plan, (), (change,), "")
    assert f"{WHO} of crew Birch stays there, and does not go with crew Alder" in text
    [told] = diff_json((), (change,), "now")["lent"]
    assert told == {
        "day": "2026-05-04", "person": WHO, "crew": "Birch", "before": "Alder", "after": None,
    }  # fmt: skip


def test_what_is_done_is_no_change() -> None:
    view = replace(full_view(), branch=lending(ROWS).branch)
    assert lent_since_published(view.branch, replace(view.plan, done=("S1",))) == ()


def test_the_evening_notes_of_both_crews_name_who_goes() -> None:
    view = lending(ROWS)
    clock = Clock(NOW, "set by hand")
    told = {
        crew: evening_text(
            [note for note, _ in evening_notes(view.branch, clock, MONDAY, crew=crew)], "", ""
        )
        for crew in ("Alder", "Birch", "Cedar")
    }
    assert f"lent: {WHO} of crew Birch comes along: lent for the day." in told["Alder"]
    assert f"lent: {WHO} goes with crew Alder that day." in told["Birch"]
    assert WHO not in told["Cedar"]


def test_the_week_s_page_and_its_table_name_both_sides() -> None:
    view = lending()
    monday, tuesday = to_html(week_page(view, NOW)).split("<details")[2:4]
    assert "Mon 4 May" in monday
    assert f"{WHO} of crew Birch comes along: lent for the day." in monday
    assert f"{WHO} goes with crew Alder that day." in monday
    assert f"Lent for the day: {WHO} (Birch) to Alder." in monday
    assert WHO not in tuesday
    rows = csv_text(week_sheet(view).columns, week_sheet(view).rows).splitlines()
    assert rows[0].endswith(",cost,lent,lent_away")
    assert next(row for row in rows if row.endswith(f",{WHO} (Birch),")).startswith("Alder,2026-05")
    assert next(row for row in rows if row.endswith(f",,{WHO} (Alder)")).startswith("Birch,2026-05")


@pytest.mark.parametrize(
    ("crew", "words"),
    [
        ("Alder", f"{WHO} of crew Birch comes along: lent for the day."),
        ("Birch", f"{WHO} goes with crew Alder that day."),
    ],
)
def test_a_lead_s_own_pages_name_the_other_crew_and_nothing_else_of_it(
    crew: str, words: str
) -> None:
    view = own_view(lending(), frozenset({crew}))
    page = to_html(tomorrow_page(view, crew, NOW))
    assert page.count(words) == 2  # with the visit, and in the evening note
    app = create_app(view)
    with app.server.test_request_context("/small/tomorrow"):
        actor = Actor("Ada", "lead", frozenset({crew}))
        for code, said in (("en", words), ("es", "cuadrilla")):
            small = phone_page(view, crew, actor, None, NOW, {"crew": crew}, code, True)
            assert said in small
    [lent] = view.lent
    assert lent.stages == (("S1",) if crew == "Alder" else ())
    assert lent.without == (("S2",) if crew == "Birch" else ())
    assert own_view(lending(), frozenset({"Cedar"})).lent == ()


def test_publishing_tells_both_crews_though_no_stage_moves() -> None:
    view = lending(tuple(replace(row, lent=()) for row in plan_rows(lending().plan)))
    shown = _compared(view)
    assert shown["moves"] == []
    assert shown["lent"] == [f"Mon 4 May: {WHO} of crew Birch goes with crew Alder."]
    assert [(name, phone) for name, phone, _ in shown["tell"]] == [
        ("Crew Birch (Birch lead)", "555-0100"),
        ("Crew Alder (Alder lead)", "555-0177"),
    ]
