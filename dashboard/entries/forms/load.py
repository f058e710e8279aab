"""The load-out list of a stage and day, ticked as things go onto the truck.

Only what somebody changed on the page is written, so that two who tick at once undo nothing of
each other's.
"""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection

from crewplan.ledger.findings import WEEKS
from crewplan.ledger.missed_parts import MISSED, missed_parts, since
from crewplan.model.calendar import local_day
from crewplan.model.finding import MissedPart
from crewplan.publishing.day_words import long_day_words
from crewplan.publishing.load_list import load_list, tools
from crewplan.publishing.missed_text import missed_words
from crewplan.running.board_view import BoardView
from crewplan.store.recent import hours_lost_for, ticks_of
from crewplan.store.records import NewRecord, add_records
from dashboard.entries.answering import fields
from dashboard.entries.asked import Asked, BadValues, Values, crews_of, day_in, stage_of
from dashboard.entries.form import Form
from dashboard.entries.in_words import words
from dashboard.entries.places import stage_title, way_back


def items_of(view: BoardView, name: str) -> dict[str, int | None]:
    """What to load for a stage, in the order of its page; pieces where they are counted."""
    stage = stage_of(view, name)
    job = next(row for row in view.branch.jobs if row.job == stage.job)
    takeoff = view.takeoffs.get(job.job)
    counted = load_list(view.branch, stage, takeoff) if takeoff else ()
    coverings = [plane.covering for plane in view.branch.planes if plane.job == job.job]
    return {
        **{line.item: line.counted for line in counted},
        **dict.fromkeys(tools(stage, job, coverings)),
    }


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    stage = asked.stage()
    asked.hold_rights("tick the load", crews_of(asked.view, stage.stage))
    day = day_in(asked.args.get("day", ""), asked.view.gate_day)
    ticks = ticks_of(connection, stage.stage, day)
    items = items_of(asked.view, stage.stage)
    return {
        "title": f"{words('Load')}: {stage_title(asked.view, stage)}",
        "back": way_back(asked.view, stage.stage),
        "day_words": long_day_words(day),
        "items": [
            (
                item,
                "" if pieces is None else str(pieces),
                words("ticked by {who}", who=ticks[item].by)
                if item in ticks and ticks[item].ticked
                else "",
            )
            for item, pieces in items.items()
        ],
        "missed": missed_words(_missed(asked.view, connection), WEEKS),
        "ticked": sum(item in ticks and ticks[item].ticked for item in items),
    }


def _missed(view: BoardView, connection: Connection) -> tuple[MissedPart, ...]:
    day = local_day(view.branch.settings, view.asked_at)
    return missed_parts(view.branch, hours_lost_for(connection, MISSED, since(day), day), day)


def _blank(asked: Asked, connection: Connection) -> Values:
    stage = asked.stage().stage
    day = day_in(asked.args.get("day", ""), asked.view.gate_day)
    ticks = ticks_of(connection, stage, day)
    on = [item for item in items_of(asked.view, stage) if item in ticks and ticks[item].ticked]
    return fields([(name, item) for item in on for name in ("item", "was")])


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    stage = asked.stage().stage
    items = items_of(asked.view, stage)
    day = day_in(asked.args.get("day", ""), asked.view.gate_day)
    on, was = set(sent.getlist("item")), set(sent.getlist("was"))
    if unknown := sorted((on | was) - items.keys()):
        raise BadValues({"item": f"{', '.join(unknown)}: not on this list any more."})
    changed = [item for item in items if (item in on) != (item in was)]
    new = [
        NewRecord(
            "tick",
            {"item": item, "counted": items[item], "ticked": item in on},
            str(day),
            stage,
        )
        for item in changed
    ]
    add_records(connection, new, asked.actor.name, asked.now)
    if not new:
        return words("Nothing was changed.")
    return words("Kept: {count} changed.", count=len(new))


FORM = Form("/enter/load", "tick the load", "load.html", _facts, _blank, _keep)
