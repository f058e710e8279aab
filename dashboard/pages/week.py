"""What could break this week? Then who is where when, and what is left out."""

from datetime import datetime

from dash import html

from crewplan.model.job_rows import Job
from crewplan.model.placement import ReasonKind
from crewplan.model.plan import Unplaced
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.running.board_view import BoardView
from dashboard.exports import export_links
from dashboard.once import once, times_passed
from dashboard.pages.calls_today import calls_today
from dashboard.pages.parts import (
    Child,
    ages,
    card_table,
    kept_rows,
    lines,
    opens,
    sortable_cards,
)
from dashboard.pages.risk_list import risk_list
from dashboard.pages.week_days import day_by_day
from dashboard.tables.awaited import next_day
from dashboard.text.chances import count_words, money_words
from dashboard.text.empty_words import empty_words
from dashboard.text.week_words import (
    REASON_WORDS,
    price_sentences,
    reason_words,
    week_summary,
)

QUESTION = "What could break this week?"


def kept_week(view: BoardView, now: datetime) -> html.Div:
    """The page as it was made for whoever asked first."""
    stamp = (times_passed(view, now), next_day(view) < now)
    return once(view, "week", stamp, lambda: week_page(view, now))


def week_page(view: BoardView, now: datetime) -> html.Div:
    """The operations manager's page."""
    if not view.branch.jobs:
        tables = "jobs, planes, stages and requirements"
        return html.Div([html.H1(QUESTION), *empty_words(view, "so nothing can break", tables)])
    risky = [
        html.H1(QUESTION),
        html.P(week_summary(view.plan), className="lead"),
        html.P(
            "The forecast behind these chances is too old or the connection is lost:"
            " plan again before you publish.",
            className="when-stale warning",
        ),
        risk_list(view),
    ]
    called = [html.H2("Whom to call today"), calls_today(view, now)]
    planned = [
        html.H2("Who is where when"),
        *day_by_day(view),
        html.H2("What is not placed, and why"),
        _unplaced(view),
        html.H2("What this plan costs"),
        _price(view),
        *_notes(view),
        html.H2("Take it along"),
        export_links("week"),
    ]
    until = view.chances_void_after
    # calls age by their day, and not by the forecast around them
    return html.Div([ages(risky, view, until, now), *called, ages(planned, view, until, now)])


def _unplaced(view: BoardView) -> html.Section | html.P:
    if not view.plan.unplaced:
        return html.P("Everything that is not done is placed.")
    jobs = {job.job: job for job in view.branch.jobs}
    ordered = sorted(
        view.plan.unplaced, key=lambda u: (not u.answer_is_no, jobs[u.job].due_on, u.stage)
    )
    kinds = {stage.stage: KIND_WORDS[stage.kind] for stage in view.branch.stages}
    rows = [_left_out(view, jobs[out.job], kinds[out.stage], out) for out in ordered]
    columns = ("Stage", "Customer", "Promise", "Why", "Price of leaving it")
    caption = "Stages left for later, promises first"
    return kept_rows(
        sortable_cards(caption, columns, rows, "left-out"), count_words(len(rows), "stage")
    )


def _left_out(
    view: BoardView, job: Job, kind: str, out: Unplaced
) -> list[tuple[Child | list[Child], str]]:
    """A row, each cell with what it sorts by: days by date, prices by cents."""
    why = [REASON_WORDS[reason] for reason in _kinds(out)]
    return [
        (f"{kind} {out.stage}", f"{kind} {out.stage}"),
        (job.customer or job.job, job.customer or job.job),
        (day_words(job.due_on) + _mark(view, out), job.due_on.isoformat()),
        ([lines([_reason(reason, out) for reason in _kinds(out)], "reasons")], ", ".join(why)),
        (money_words(out.cents, view.branch.settings.currency), str(out.cents)),
    ]


def _mark(view: BoardView, unplaced: Unplaced) -> str:
    """Why leaving it out is an answer of no; empty where it may well wait."""
    if not unplaced.answer_is_no:
        return ""
    published = any(row.stage == unplaced.stage for row in view.branch.plan)
    return " (published before)" if published else " (within these days)"


def _kinds(unplaced: Unplaced) -> list[ReasonKind]:
    return list(dict.fromkeys(reason.kind for reason in unplaced.reasons))


def _reason(kind: ReasonKind, unplaced: Unplaced) -> list[Child]:
    words = " ".join(reason_words(reason) for reason in unplaced.reasons if reason.kind == kind)
    return [html.B(f"{REASON_WORDS[kind]}: "), words]


def _price(view: BoardView) -> html.Div:
    currency = view.branch.settings.currency
    rows: list[list[Child | list[Child]]] = [
        [part.replace("_", " "), money_words(cents, currency)]
        for part, cents in sorted(view.plan.parts.items(), key=lambda pair: -pair[1])
        if cents
    ]
    words = html.Div([html.P(words) for words in price_sentences(view.plan, currency)])
    if not rows:
        return words
    table = card_table("Parts of the price", ("Part", "Price"), rows, "stays short figures")
    return html.Div([words, table], className="two")


def _notes(view: BoardView) -> list[Child]:
    notes = (*view.plan.notes, *view.warnings)
    if not notes:
        return []
    return [opens(f"{count_words(len(notes), 'note')} on the tables", lines(list(notes)))]
