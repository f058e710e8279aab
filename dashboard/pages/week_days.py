"""Crews by day: who is where, how sure it is, what it waits for and risks."""

from datetime import date
from urllib.parse import urlencode

from dash import html

from crewplan.model.people_rows import Person
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.lent_words import lent_of_visit
from crewplan.publishing.waiting_words import plain
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child, card_table, firm_sign, fresh_words, opens
from dashboard.tables.crew_day import Visit, away, free_halves, visits
from dashboard.text.chances import chance_words, count_words, hours_words, listed
from dashboard.text.week_words import halves_words

_COLUMNS = (
    "Crew", "When", "What and where", "Firm or pencilled", "Weather holds", "Done in time",
    "Hours lost waiting",
)  # fmt: skip
_OPEN_AT_FIRST = 2
"""Days shown open: those that people ask about first."""


def day_by_day(view: BoardView) -> list[Child]:
    """Every day of the plan, the first ones open."""
    return [
        html.P(
            "Weather holds: the chance that all work on the roof fits between the limits."
            " Done in time: the same, with slow work counted in."
            " Hours lost waiting: person-hours on site in which nothing can be done, as expected.",
            className="rest",
        ),
        *(
            _day(view, day, is_open=place < _OPEN_AT_FIRST)
            for place, day in enumerate(view.plan.horizon.days)
        ),
    ]


def _day(view: BoardView, day: date, is_open: bool) -> html.Details:
    seen = visits(view, day)
    crews = len({visit.planned.placement.crew for visit in seen})
    pencilled = sum(not visit.planned.firm for visit in seen)
    summary = f"{count_words(crews, 'crew')} out" if seen else "nobody out"
    if seen:
        summary += f", {pencilled} of {count_words(len(seen), 'visit')} pencilled"
    if day in view.plan.horizon.frozen:
        summary += ", kept as published"
    content: list[Child] = []
    if seen:
        rows = [_row(view, visit, day) for visit in seen]
        content.append(card_table(f"Crews on {day_words(day)}", _COLUMNS, rows, "days"))
    content.append(html.P(_rest(view, day), className="rest"))
    return opens([html.B(day_words(day)), html.Span(summary)], content, is_open)


def _row(view: BoardView, visit: Visit, day: date) -> list[Child | list[Child]]:
    placement = visit.planned.placement
    where = ", ".join(word for word in (visit.job.customer, visit.job.address) if word)
    crew: list[Child] = [html.Span(placement.crew, className="name")]
    if day == view.gate_day:
        query = urlencode({"crew": placement.crew})
        crew = [html.A(placement.crew, href=f"/tomorrow?{query}", className="name")]
    waits = [plain(word) for word in visit.planned.waits_for]
    firm: list[Child] = [firm_sign(visit.planned.firm)]
    if waits:
        ready = chance_words(placement.p_ready)
        words = f"waits for {listed(waits)}; there by then: {ready}"
        firm.append(html.Span(words, className="small"))
    return [
        [
            *crew,
            html.Span(f"{placement.lead} leads", className="small"),
            *(html.Span(words, className="small") for words in _lent_words(view, visit, day)),
        ],
        halves_words(visit.halves, visit.day_number, visit.days, visit.part),
        [
            html.Span(f"{KIND_WORDS[visit.stage.kind]} {visit.stage.stage}", className="name"),
            html.Span(where or visit.job.job, className="small"),
        ],
        firm,
        *_risks(view, visit),
    ]


def _risks(view: BoardView, visit: Visit) -> list[Child | list[Child]]:
    placement = visit.planned.placement
    hours = view.hours.get(visit.stage.stage)
    if hours is not None and not hours.exposed:
        return ["ground work", "", ""]
    return [
        fresh_words(chance_words(placement.p_go)),
        fresh_words(chance_words(placement.p_finish)),
        fresh_words(hours_words(placement.lost_h)),
    ]


def _rest(view: BoardView, day: date) -> str:
    free = [
        crew if half == "all day" else f"{crew} ({halves_words(half, 1, 1)})"
        for crew, half in free_halves(view, day)
    ]
    gone = [_away_words(person) for person in away(view, day)]
    words = f"Free: {listed(free)}." if free else "No crew is free."
    lent = [f"{one.person} ({one.home}) to {one.crew}" for one in view.lent if one.day == day]
    words += f" Away: {listed(gone)}." if gone else ""
    return words + (f" Lent for the day: {listed(lent)}." if lent else "")


def _lent_words(view: BoardView, visit: Visit, day: date) -> tuple[str, ...]:
    placement = visit.planned.placement
    return lent_of_visit(view.lent, day, placement.crew, placement.stage)


def _away_words(person: Person) -> str:
    return f"{person.person} ({person.crew})"
