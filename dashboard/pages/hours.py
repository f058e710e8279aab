"""Where do the hours go? The owner's page."""

from datetime import datetime

from dash import html

from crewplan.publishing.day_words import day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.waiting_words import plain
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.exports import ADDRESS as EXPORTS_AT
from dashboard.figures.hours_bars import lost_hours, work_and_waiting
from dashboard.once import once
from dashboard.owner_desk import OwnerLook, owner_look
from dashboard.pages.hours_table import jobs_table
from dashboard.pages.owner import owner_sections
from dashboard.pages.parts import Child, card_table
from dashboard.pages.picture import picture
from dashboard.tables.hours_sums import crew_hours, lost_by_cause
from dashboard.text.empty_words import empty_words
from dashboard.text.hours_words import expected_words, so_far_words

QUESTION = "Where do the hours go?"


def kept_hours_page(
    view: BoardView, now: datetime, search: str = "", store: Store | None = None
) -> html.Div:
    """The page as it was made for whoever asked first since the last hours came.

    `search` may say which days count for what was so far: '?from=2026-04-01&to=2026-04-30'.
    """
    look = owner_look(view, search, store) if view.branch.jobs else None
    stamp = (view.worked(), look and (look.shown, look.behind, look.months, look.version))
    return once(view, "hours", stamp, lambda: hours_page(view, now, look))


def hours_page(view: BoardView, now: datetime, look: OwnerLook | None) -> html.Div:
    """Planned hours and expected losses ahead; what was worked, lost and made so far.

    `look` is what was made so far; None: it is still being read.
    """
    del now  # hours are sums of tables; no verdict stands on this page
    if not view.branch.jobs:
        return html.Div(
            [
                html.H1(QUESTION),
                *empty_words(view, "so no hours"),
                html.P(
                    "Hours that were worked go into the table hours_worked, with a cause where"
                    " they were lost."
                ),
            ]
        )
    days = view.plan.horizon.days
    so_far = owner_sections(view, look, EXPORTS_AT)
    return html.Div(
        [
            html.H1(QUESTION),
            html.P(expected_words(view), className="lead"),
            html.Div([_crews(view), _causes(view)], className="halves"),
            *so_far,
            html.H2(f"Ahead, job by job, {day_words(days[0])} to {day_words(days[-1])}"),
            jobs_table(view),
        ]
    )


def _crews(view: BoardView) -> html.Section:
    rows = crew_hours(view)
    figure = work_and_waiting(
        tuple(row.crew for row in rows),
        tuple(row.placed for row in rows),
        tuple(row.expected_lost for row in rows),
    )
    cells: list[list[Child | list[Child]]] = [
        [
            row.crew,
            decimal(row.placed, 1),
            decimal(row.expected_lost, 1),
            decimal(row.worked, 1),
            decimal(row.lost, 1),
        ]
        for row in rows
    ]
    columns = ("Crew", "Work ahead", "Weather ahead", "Worked so far", "Lost so far")
    return html.Section(
        [
            html.H2("Ahead, by crew"),
            picture(
                figure, "Person-hours of work placed, and hours expected to be lost beside it."
            ),
            card_table("Person-hours by crew", columns, cells, "stays figures"),
        ]
    )


def _causes(view: BoardView) -> html.Section:
    found = lost_by_cause(view)
    content: list[Child] = [html.H2("Lost, by cause"), html.P(so_far_words(view))]
    if found:
        bars = lost_hours(
            tuple(plain(cause) for cause, _ in found), tuple(hours for _, hours in found)
        )
        content.append(picture(bars, "Person-hours lost so far, the largest cause first."))
    so_far = dict(found)
    ahead = sum(planned.placement.lost_h for planned in view.plan.planned)
    causes = [*so_far, *({"weather"} - so_far.keys())]
    cells: list[list[Child | list[Child]]] = [
        [
            plain(cause),
            decimal(so_far.get(cause, 0.0), 1),
            decimal(ahead, 1) if cause == "weather" else "not foreseen",
        ]
        for cause in causes
    ]
    columns = ("Cause", "Lost so far", "Expected ahead")
    content.append(card_table("Person-hours lost, by cause", columns, cells, "stays figures"))
    return html.Section(content)
