"""Can we lift tomorrow? One crew at a time."""

from datetime import datetime
from urllib.parse import urlencode

from dash import html

from crewplan.publishing.day_words import long_day_words
from crewplan.running.board_view import BoardView
from dashboard.exports import export_links
from dashboard.once import once
from dashboard.pages.parts import Child
from dashboard.pages.visit import VisitNotes, no_notes, no_visit, visit_section
from dashboard.tables.crew_day import visits
from dashboard.text.empty_words import how_to_add, where
from dashboard.text.tomorrow_words import time_words

QUESTION = "Can we lift tomorrow?"


def tomorrow_page(
    view: BoardView, crew: str, now: datetime, notes: VisitNotes = no_notes
) -> html.Div:
    """The crew lead's page."""
    head = day_head(view)
    if not view.branch.crews or not view.branch.jobs:
        what = "jobs" if view.branch.crews else "crews"
        head.append(
            html.P(
                f"There are no {what} in {where(view)} yet, so nobody is sent anywhere."
                f" {how_to_add(view, what)}"
            )
        )
        return html.Div(head)
    return html.Div(
        [
            *head,
            once(view, f"chooser {crew}", None, lambda: _chooser(view, crew)),
            *crew_sheet(view, crew, now, notes),
            html.P(_elsewhere(view, crew), className="no-print small-page write-down"),
            export_links("tomorrow"),
        ]
    )


def _elsewhere(view: BoardView, crew: str) -> list[Child]:
    """The same for a weak connection, and for a calendar."""
    query, whole = urlencode({"crew": crew}), {"data-whole": "document"}
    small = "For a telephone: small, in English and Spanish, kept without a network"
    links: list[Child] = [html.A(small, href=f"/small/tomorrow?{query}", **whole)]
    if crew in {row.crew for row in view.branch.crews}:
        words = "This crew's published days, for a calendar"
        links.append(html.A(words, href=f"/calendar.ics?{query}", **whole))
    sheet = f"/sheets.pdf?{urlencode({'day': str(view.gate_day)})}"
    links.append(html.A("All crew sheets of the day, as a PDF", href=sheet, **whole))
    return links


def day_head(view: BoardView) -> list[Child]:
    """The question, and which day it is asked of."""
    return [html.H1(QUESTION), html.P(_day_words(view), className="lead")]


def crew_sheet(
    view: BoardView, crew: str, now: datetime, notes: VisitNotes = no_notes
) -> list[Child]:
    """What one crew needs for the day."""
    if crew not in {row.crew for row in view.branch.crews}:
        return [
            html.P(f"There is no crew called '{crew}' in the table crews. Choose another above.")
        ]
    mine = [v for v in visits(view, view.gate_day) if v.planned.placement.crew == crew]
    sections = [visit_section(view, visit, now, notes) for visit in mine] or [
        no_visit(view, crew, now)
    ]
    return list(sections)


def first_crew(view: BoardView) -> str:
    """The first crew with work on the day, else the folder's first; '' without crews."""
    out = [visit.planned.placement.crew for visit in visits(view, view.gate_day)]
    return next(iter([*out, *(crew.crew for crew in view.branch.crews)]), "")


def _day_words(view: BoardView) -> str:
    words = f"{long_day_words(view.gate_day)}, asked {time_words(view.asked_at)}."
    ahead = (view.gate_day - view.asked_at.date()).days
    return words if ahead == 1 else f"{words} That is the day the gate was asked for, not tomorrow."


def _options(view: BoardView) -> list[dict[str, str]]:
    out = {visit.planned.placement.crew for visit in visits(view, view.gate_day)}
    return [
        {
            "value": crew.crew,
            "label": crew.crew if crew.crew in out else f"{crew.crew} (nothing placed that day)",
        }
        for crew in view.branch.crews
    ]


def _chooser(view: BoardView, crew: str) -> html.Form:
    options = [
        html.Option(option["label"], value=option["value"], selected=option["value"] == crew)
        for option in _options(view)
    ]
    chosen = html.Label(["Crew ", html.Select(options, name="crew")])
    without_script = html.Button("Show", type="submit", className="without-script")
    return html.Form([chosen, without_script], method="get", className="chooser no-print")
