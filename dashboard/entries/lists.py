"""Pages that lead to the forms: what somebody may write down, states, and pins."""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode

from dash import Dash
from flask import Response
from sqlalchemy import Connection

from crewplan.model.account import Act, Actor
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Requirement
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.running.board_view import BoardView
from crewplan.store.cells import row_of
from crewplan.store.faults import StoreFault
from crewplan.store.open_work import open_jobs, standing_rows
from crewplan.store.rows import rows_at
from dashboard.asking import asking
from dashboard.entries.answering import drawn
from dashboard.entries.desk import HOW_TO_GET_FORMS, Desk, today_of
from dashboard.entries.forms.state import STATES
from dashboard.guard.own_eyes import seen_by
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import Need, guarded

OF_A_STAGE: tuple[tuple[str, Act, str], ...] = (
    ("/enter/hours", "enter hours", "Hours"),
    ("/enter/progress", "enter hours", "Share done"),
    ("/enter/load", "tick the load", "Load"),
    ("/enter/reading", "enter readings", "Wind measured"),
)
"""Address, what it takes, and its short name."""

_LATELY = timedelta(days=7)
"""Stages that were to begin within this before today are still written about."""


def may_write(actor: Actor) -> bool:
    """Whether there is anything that somebody may write down."""
    acts: tuple[Act, ...] = (*(act for _, act, _ in OF_A_STAGE), "enter states", "pin")
    return any(actor.may(act) for act in acts)


def links_of(actor: Actor, stage: str, crew: str) -> list[tuple[str, str]]:
    """Words and addresses of the forms of a stage that somebody may use for a crew."""
    return [
        (words, f"{rule}?{urlencode({'stage': stage, 'crew': crew})}")
        for rule, act, words in OF_A_STAGE
        if actor.may(act, crew)
    ]


def _crews(view: BoardView, actor: Actor, today: date) -> list[dict[str, Any]]:
    """By crew: its stages by start, with links; those begun lately first."""
    stages = {stage.stage: stage for stage in view.branch.stages}
    jobs = {job.job: job for job in view.branch.jobs}
    found = []
    for crew in view.branch.crews:
        starts = {
            row.stage: row.start_on
            for row in view.branch.plan
            if row.crew == crew.crew and today - _LATELY <= row.start_on <= today
        }
        for planned in view.plan.planned:
            if planned.placement.crew == crew.crew:
                first = view.plan.horizon.day_of(planned.placement.start)
                starts.setdefault(planned.placement.stage, first)
        rows = [
            (
                day_words(start),
                f"{KIND_WORDS[stages[name].kind]} {name}",
                jobs[stages[name].job].customer or stages[name].job,
                links_of(actor, name, crew.crew),
            )
            for name, start in sorted(starts.items(), key=lambda pair: pair[1])
        ]
        if rows and rows[0][3]:
            found.append({"crew": crew.crew, "rows": rows})
    return found


def _hub(desk: Desk) -> Response:
    actor = asking()
    view = seen_by(desk.view_now(), actor)
    return drawn(
        desk,
        "hub.html",
        title="What would you write down?",
        back="/tomorrow",
        crews=_crews(view, actor, today_of(view, datetime.now(UTC))),
        may_hours=actor.may("enter hours"),
        may_states=actor.may("enter states"),
        may_pin=actor.may("pin"),
        may_publish=actor.may("publish"),
    )


def _states(connection: Connection, view: BoardView) -> Mapping[str, Any]:
    # what was brought since the board's look has rows here, and no name yet
    customers = {job.job: job.customer for job in view.branch.jobs}
    open_now = connection.execute(open_jobs(view.asked_at.date())).scalars().all()
    words = {state: told.partition(":")[0] for state, told in STATES}
    rows: list[Requirement] = standing_rows(connection, "requirements", job=open_now)
    order = [state for state, _ in STATES]
    rows.sort(key=lambda row: (row.state in ("granted", "not_needed"), order.index(row.state)))
    return {
        "title": "Where does what we wait for stand?",
        "back": "/enter",
        "rows": [
            (
                row.kind.replace("_", " "),
                customers.get(row.job) or row.job,
                row.job,
                words[row.state],
                day_words(row.granted_on or row.asked_on) if row.granted_on or row.asked_on else "",
                f"/enter/state?{urlencode({'job': row.job, 'kind': row.kind})}",
            )
            for row in rows
        ],
    }


def _pins(connection: Connection, view: BoardView) -> Mapping[str, Any]:
    kinds = {stage.stage: KIND_WORDS[stage.kind] for stage in view.branch.stages}
    stored = rows_at(connection, table="plan").get("plan", [])
    rows: list[PlanRow] = [row_of("plan", row.cells) for row in stored]
    rows.sort(key=lambda row: (row.start_on, row.start_half, row.crew))
    return {
        "title": "What must stay where it was published?",
        "back": "/enter",
        "rows": [
            (
                f"{kinds.get(row.stage, '')} {row.stage}".lstrip(),
                row.crew,
                f"{day_words(row.start_on)} {row.start_half}",
                "pinned" if row.pinned else "free to move",
                f"/enter/pin?{urlencode({'stage': row.stage, 'part': row.part})}",
            )
            for row in rows
        ],
    }


def _list(desk: Desk, template: str, facts: Callable[..., Mapping[str, Any]]) -> Response:
    if desk.store is None:
        return refusal(404, "There are no forms here", [HOW_TO_GET_FORMS])
    try:
        with desk.store.read() as connection:
            shown = facts(connection, desk.view_now())
    except StoreFault as fault:
        return refusal(503, "The database does not answer", [f"{fault}."])
    return drawn(desk, template, **shown)


def put_up_lists(app: Dash, desk: Desk) -> None:
    """Answer the addresses of the lists."""

    def hub() -> Response:
        if desk.store is None:
            return refusal(404, "There are no forms here", [HOW_TO_GET_FORMS])
        return _hub(desk)

    lists: tuple[tuple[str, Need, Callable[[], Response]], ...] = (
        ("/enter", "see tomorrow", hub),
        ("/enter/states", "enter states", lambda: _list(desk, "states.html", _states)),
        ("/enter/pins", "pin", lambda: _list(desk, "pins.html", _pins)),
    )
    for rule, need, view in lists:
        guarded(app, rule, need)(view)
