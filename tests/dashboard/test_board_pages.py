"""Pages as plain HTML: what stands on them, whatever the data."""

from datetime import UTC, datetime, timedelta

import pytest
from board_views import CREWS, day_verdicts, empty_view, full_view, one_job_view, view
from builders import job
from dash.development.base_component import Component

from crewplan.model.account import Actor
from crewplan.running.board_view import BoardView
from dashboard.plain_html import properties_of, to_html
from dashboard.quiet import quiet
from dashboard.routes import page, question

MANAGER = Actor("Ada", "manager")
NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)


def shown(of: BoardView, path: str, search: str = "", now: datetime = NOW) -> str:
    return to_html(page(of, MANAGER, path, search, now))


@pytest.mark.parametrize("path", ["/", "/tomorrow", "/waiting", "/hours"])
@pytest.mark.parametrize("build", [empty_view, one_job_view, full_view])
def test_every_page_asks_its_question_whatever_the_data(build, path: str) -> None:
    assert f"<h1>{question(path)}</h1>" in shown(build(), path)


@pytest.mark.parametrize("path", ["/", "/tomorrow", "/waiting", "/hours"])
def test_an_empty_folder_is_told_what_to_add(path: str) -> None:
    assert "There are no jobs in this folder yet" in shown(empty_view(), path)


@pytest.mark.parametrize("path", ["/", "/tomorrow", "/waiting", "/hours"])
def test_an_empty_database_is_told_to_bring_tables_and_of_no_folder(path: str) -> None:
    text = shown(empty_view(version=3), path).split("<footer")[0]
    assert "There are no jobs in this database yet" in text
    assert "crewplan import" in text
    assert "folder" not in text


def test_an_unknown_address_says_so() -> None:
    assert "There is no page at this address" in shown(one_job_view(), "/nothing")


@pytest.mark.parametrize("path", ["/", "/tomorrow", "/waiting", "/hours"])
def test_a_clock_set_by_hand_marks_every_page(path: str) -> None:
    assert "Clock set by hand: not for work" in shown(one_job_view(), path)
    assert "not for work" not in shown(one_job_view(clock="now"), path)


@pytest.mark.parametrize("crew", CREWS)
def test_wherever_a_verdict_shows_the_person_on_site_comes_first(crew: str) -> None:
    text = shown(full_view(), "/tomorrow", f"?crew={crew}")
    assert "the competent person on site" in text
    assert "Void after Mon 4 May, 06:00" in text


def test_the_crew_page_says_what_the_wind_does_at_the_limit() -> None:
    # 0.613 x 11.623^2 = 82.8 Pa = 1.7 psf; x 1.2 x 1.953 m2 = 194 N = 43.6 lbf, by hand
    text = shown(one_job_view(), "/tomorrow")
    assert "a gust of 26 mph, the wind presses with 1.7 psf" in text
    assert "pushed with 44 lbf" in text


def test_an_unknown_crew_is_named_and_nothing_is_shown_for_it() -> None:
    text = shown(full_view(), "/tomorrow", "?crew=Nobody")
    assert "There is no crew called" in text
    assert "GO" not in text.replace("NO-GO", "GO").split("<main>")[1]


def test_a_crew_without_work_sees_the_weather_at_the_branch() -> None:
    idle = view((job("J1"),), crews=("Alder",), verdicts=day_verdicts("", "", "no-go"))
    text = shown(idle, "/tomorrow")
    assert "Alder has nothing placed on Mon 4 May" in text
    assert "<b>NO-GO</b>" in text


def test_a_site_without_a_verdict_is_unknown() -> None:
    text = shown(one_job_view(verdicts=()), "/tomorrow")
    assert "<b>UNKNOWN</b>" in text
    assert "<b>GO</b>" not in text


def test_an_exposure_that_nobody_asked_for_is_unknown_beside_those_that_go() -> None:
    asked = [v for v in one_job_view().verdicts if v.exposure != "lift"]
    text = shown(one_job_view(verdicts=tuple(asked)), "/tomorrow")
    first = text[text.index('class="verdicts"') :]
    assert first.index("<b>UNKNOWN</b>") < first.index("<b>GO</b>")


def test_a_page_sent_after_its_time_is_already_marked_too_old() -> None:
    later = NOW + timedelta(hours=1)
    running = one_job_view(void_after=later, clock="now", chances_void_after=later)
    assert 'data-stale="age"' not in shown(running, "/tomorrow")
    assert 'data-stale="age"' in shown(running, "/tomorrow", now=later + timedelta(minutes=1))
    assert 'data-stale="age"' in shown(running, "/", now=later + timedelta(minutes=1))


def test_a_clock_set_by_hand_never_ages_a_page() -> None:
    assert "data-void-after" not in shown(one_job_view(), "/tomorrow", now=NOW.replace(year=2036))


def test_the_week_names_what_waits_and_where_it_is_not_placed() -> None:
    text = shown(full_view(), "/")
    assert "waits for permit and kit; there by then: 84 in 100" in text
    assert "Every crew that may is taken, from Mon 4 May until Fri 15 May." in text
    assert text.index("What could break it") < text.index("Who is where when")


def test_what_tables_say_is_never_taken_for_html() -> None:
    evil = one_job_view()
    jobs = (job("J1", customer="<script>alert(1)</script>", address='"><img src=x>'),)
    of = view(jobs, evil.branch.stages, evil.plan.planned, crews=("Alder",), verdicts=evil.verdicts)
    for path in ("/", "/tomorrow", "/hours"):
        text = shown(of, path)
        assert "<script>alert" not in text
        assert "<img src=x>" not in text


def test_a_quiet_part_carries_its_html_and_a_figure_stays_alive() -> None:
    of = one_job_view()
    week, hours = (quiet(page(of, MANAGER, path, "", NOW)) for path in ("/", "/hours"))
    assert len(str(week).split("Graph(")) == 1
    assert len(str(hours).split("Graph(")) == 2  # work ahead; nothing was lost so far
    assert week[1].to_plotly_json()["props"]["data-html"].startswith("<div")


@pytest.mark.parametrize("path", ["/", "/tomorrow", "/waiting", "/hours"])
def test_what_was_said_of_an_element_is_all_that_it_would_send(path: str) -> None:
    def elements(node: object) -> list[Component]:
        if isinstance(node, list | tuple):
            return [one for child in node for one in elements(child)]
        if not isinstance(node, Component):
            return []
        return [node, *elements(getattr(node, "children", None))]

    found = elements(page(full_view(), MANAGER, path, "", datetime.now(UTC)))
    assert len(found) > 100
    for one in found:
        assert list(properties_of(one).items()) == list(one.to_plotly_json()["props"].items())
