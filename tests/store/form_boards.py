"""A board of the small branch with a database under it, and people of each role who use it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

from board_views import ZONE, day_verdicts, one_job_view
from flask.testing import FlaskClient
from store_cases import PLAN, folder_with

from crewplan.model.account import Actor
from crewplan.model.calendar import local_day, zone
from crewplan.model.horizon import Horizon
from crewplan.running.board_view import BoardView
from crewplan.running.clock import Clock
from crewplan.running.viewing import board_view
from crewplan.store.reading import read_branch
from dashboard.app import create_app
from dashboard.guard.doors import unshared

MANAGER = Actor("Meg", "manager")
OFFICE = Actor("Olga", "office")
OWNER = Actor("Otto", "owner")
LEAD = Actor("Lea", "lead", frozenset({"Blue"}))
OTHER_LEAD = Actor("Leo", "lead", frozenset({"Red"}))
MONDAY = datetime.fromisoformat("2026-05-04T16:00:00-05:00")


@cache
def small_view() -> BoardView:
    """The small branch with S1 published for Monday with Blue, looked at that afternoon."""
    with TemporaryDirectory() as folder:
        branch = read_branch(folder_with(Path(folder) / "b", plan=PLAN))
    return board_view(branch, Clock(MONDAY, "set by hand"), seconds=1)


def view_of_today() -> BoardView:
    """The same where the gate's day is today by the machine's clock, and its lift is a go."""
    view = small_view()
    now = datetime.now(UTC).astimezone(zone(view.branch.settings))
    today = local_day(view.branch.settings, now)
    until = now + timedelta(hours=3)
    told = day_verdicts("S1", "J1", "go", until, day=today, asked_at=now, clock="now")
    start = now.replace(minute=0, second=0, microsecond=0)
    hours = [
        replace(hour, hour=start + timedelta(hours=at)) for at, hour in enumerate(told[0].hours)
    ]
    verdicts = tuple(replace(one, hours=tuple(hours)) for one in told)
    return replace(view, clock="now", asked_at=now, gate_day=today, verdicts=verdicts)


def visit_of_today() -> BoardView:
    """One crew, Alder, on S1 today by the machine's clock; all of it a go for three hours more."""
    now = datetime.now(UTC).astimezone(ZONE)
    until = now + timedelta(hours=3)
    view = one_job_view(clock="now", asked_at=now, chances_void_after=until, gate_day=now.date())
    days = tuple(now.date() + timedelta(days=at) for at in range(10))
    told = day_verdicts("S1", "J1", "go", until, day=now.date(), asked_at=now, clock="now")
    return replace(view, plan=replace(view.plan, horizon=Horizon(days, frozenset())), verdicts=told)


def visit_of_tomorrow() -> BoardView:
    """The same visit a day later: the page is of tomorrow, and whoever measures is out today."""
    view = visit_of_today()
    day = timedelta(days=1)
    days = tuple(each + day for each in view.plan.horizon.days)
    plan = replace(view.plan, horizon=Horizon(days, frozenset()))
    verdicts = tuple(replace(one, day=one.day + day) for one in view.verdicts)
    return replace(view, gate_day=view.gate_day + day, plan=plan, verdicts=verdicts)


def client_of(source: str, actor: Actor, view: BoardView | None = None) -> FlaskClient:
    """Somebody's browser at a board on a database."""
    with patch("dashboard.app.unshared", lambda _: unshared(actor)):
        app = create_app(view or small_view(), None, source)
    return app.server.test_client()
