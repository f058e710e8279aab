"""The week on the board becomes the published plan, or the plan before it is put back."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from crewplan.model.calendar import zone
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.board_view import BoardView
from crewplan.running.expecting import expectations
from crewplan.running.published_lent import lent_since_published
from crewplan.running.since_published import since_published
from crewplan.store.faults import NotDone
from crewplan.store.former_plan import StandingPlan, put_back, standing_plan
from crewplan.store.publishing_plan import Published, Told, publish
from dashboard.entries.answering import fields, sure
from dashboard.entries.asked import Asked, BadValues, Odd, Values
from dashboard.entries.form import Form
from dashboard.once import remembered
from dashboard.text.publish_words import COLUMNS, all_to_tell, lent_lines, move_rows
from dashboard.text.tomorrow_words import time_words
from dashboard.text.week_words import price_sentences, week_summary

PUBLISH, BACK = "publish", "put back"


def _stamp(view: BoardView) -> str:
    """Which look somebody saw."""
    return f"{view.version} {view.asked_at.isoformat()}"


def _compared(view: BoardView) -> dict[str, Any]:
    """The look against the plan that it knows as published."""
    moves = since_published(view.branch, view.plan)
    lent = lent_since_published(view.branch, view.plan)
    return {
        "moves": move_rows(view.branch, moves),
        "lent": lent_lines(lent),
        "tell": all_to_tell(view.branch, moves, lent),
    }


def _at(view: BoardView, moment: datetime) -> str:
    return time_words(moment.astimezone(zone(view.branch.settings)))


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    view = asked.view
    standing = standing_plan(connection)
    return {
        "title": "Publish this week?",
        "back": "/",
        "summary": week_summary(view.plan),
        "prices": price_sentences(view.plan, view.branch.settings.currency)[:2],
        "made": time_words(view.asked_at),
        "placed": len(view.plan.planned),
        **remembered(view, "published", None, lambda: _compared(view)),
        "columns": COLUMNS,
        "standing": standing,
        "published_at": _at(view, standing.at) if standing else "",
        "newer": standing is not None and standing.version > view.version,
        "may_put_back": standing is not None and standing.number > 1,
    }


def _blank(asked: Asked, connection: Connection) -> Values:
    standing = standing_plan(connection)
    return fields({"seen": _stamp(asked.view), "standing": str(_number(standing))})


def _number(standing: StandingPlan | None) -> int:
    return standing.number if standing else 0


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    view, by = asked.view, asked.actor.name
    wanted = sent.get("wanted", "")
    standing = standing_plan(connection)
    if sent.get("standing", "") != str(_number(standing)):
        raise NotDone("another plan was published since you opened this page: look at it again")
    if wanted == BACK:
        return _said(put_back(connection, _number(standing), by, asked.now), "Put back")
    if wanted != PUBLISH:
        raise BadValues({"wanted": "Choose what to do."})
    if sent.get("seen", "") != _stamp(view):
        raise NotDone(
            "the week on the board is another since you opened this page: look through it again"
        )
    if (questions := _questions(view, asked.now)) and not sure(sent):
        raise Odd(questions)
    told = Told(view.asked_at, expectations(view.plan, view.branch.settings, view.hours))
    rows = plan_rows(view.plan, view.branch.plan)
    return _said(publish(connection, rows, by, asked.now, view.version, told), "Published")


def _questions(view: BoardView, now: datetime) -> tuple[str, ...]:
    """What speaks against this week though it may be published."""
    void = view.chances_void_after
    told = []
    if view.clock == "now" and void is not None and now > void:
        told.append(f"The forecast behind this week is too old to plan by since {_at(view, void)}.")
    if not view.plan.planned:
        told.append("Nothing is placed: publishing takes every stage of these days off the plan.")
    return tuple(told)


def _said(published: Published, what: str) -> str:
    words = f"{what}: it is plan {published.number} now."
    if published.flagged:
        count = len(published.flagged)
        words += (
            f" {count} {'entry' if count == 1 else 'entries'} came in while this week was looked"
            " through; kept, and not in this plan: the next look has them."
        )
    return words


FORM = Form("/enter/publish", "publish", "publish.html", _facts, _blank, _keep)
