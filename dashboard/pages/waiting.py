"""What do we wait for, and whom do we call? The office's page."""

from datetime import datetime
from urllib.parse import urlencode

from dash import html

from crewplan.publishing.call_words import gist, say, whom
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.sentences import sentence
from crewplan.readiness.calls import Call
from crewplan.readiness.ready_view import ReadyView
from crewplan.running.board_view import BoardView
from dashboard.exports import export_links
from dashboard.once import once, times_passed
from dashboard.pages.call_parts import named, not_worked_out
from dashboard.pages.parts import Child, ages, kept_rows, lines, sortable_cards
from dashboard.tables.awaited import (
    AwaitedJob,
    AwaitedStage,
    NotWorkedOut,
    awaited_jobs,
    awaited_of,
    next_day,
)
from dashboard.text.chances import chance_words, count_words, money_words
from dashboard.text.empty_words import empty_words
from dashboard.text.plain_words import plain_words
from dashboard.text.waiting_words import (
    NO_CALLS,
    NOTHING_AWAITED,
    OF_ANOTHER_DAY,
    waiting_summary,
)

QUESTION = "What do we wait for, and whom do we call?"
_WHOLE = {"data-whole": "document"}


def kept_waiting(view: BoardView, now: datetime, writes: bool) -> html.Div:
    """The page as it was made for whoever asked first; `writes`: they may enter states here."""
    stamp = (times_passed(view, now), next_day(view) < now)
    name = f"waiting {writes}"
    return once(view, name, stamp, lambda: waiting_page(view, now, writes))


def waiting_page(view: BoardView, now: datetime, writes: bool) -> html.Div:
    """Today's calls first, then job by job."""
    if not view.branch.jobs:
        return html.Div([html.H1(QUESTION), *empty_words(view, "so nobody waits for anything")])
    ready = awaited_of(view)
    if isinstance(ready, NotWorkedOut):
        return html.Div([html.H1(QUESTION), not_worked_out(view)])
    jobs = awaited_jobs(ready)
    return ages(
        [
            html.H1(QUESTION),
            html.P(waiting_summary(ready, jobs), className="lead"),
            html.P(OF_ANOTHER_DAY, className="when-stale warning", role="alert"),
            html.H2(f"To call on {day_words(ready.today)}"),
            _calls(view, ready, writes),
            html.H2("What each job waits for"),
            _jobs(jobs),
            lines([sentence(plain_words(note)) for note in ready.notes], "rest"),
            html.H2("Take it along"),
            export_links("waiting"),
        ],
        view,
        next_day(view),
        now,
    )


def _calls(view: BoardView, ready: ReadyView, writes: bool) -> html.Section | html.P:
    if not ready.calls:
        return html.P(NO_CALLS)
    stated = {(row.job, row.kind) for row in view.branch.requirements} if writes else set()
    columns = ("Whom", "About", "What to say", "Wanted on", "A day of delay costs")
    rows = [
        [
            (named(ready, call), whom(ready, call)),
            (sentence(gist(ready, call)), gist(ready, call)),
            ([say(ready, call), *_write(call, stated)], ""),
            (day_words(call.wanted_on), str(call.wanted_on)),
            (
                money_words(round(call.cost_a_day * 100), view.branch.settings.currency),
                f"{call.cost_a_day:.2f}",
            ),
        ]
        for call in ready.calls
    ]
    table = sortable_cards("The dearest delay first", columns, rows, "calls")
    return kept_rows(table, count_words(len(rows), "call"))


def _write(call: Call, stated: set[tuple[str, str]]) -> list[Child]:
    """A way to write down what they said."""
    if (call.job, call.kind) not in stated:
        return []
    query = urlencode({"job": call.job, "kind": call.kind})
    link = html.A("Write down what they said", href=f"/enter/state?{query}", **_WHOLE)
    return [html.Span(link, className="no-print write-down")]


def _jobs(jobs: tuple[AwaitedJob, ...]) -> html.Section | html.P:
    if not jobs:
        return html.P(NOTHING_AWAITED)
    columns = ("Job", "Waits for", "First wanted on", "All there by then", "80 in 100 by")
    rows = [
        [
            ([one.job.customer or one.job.job, html.Span(one.job.job, className="small")],
             one.job.customer or one.job.job),
            ([_stage(stage) for stage in one.stages], ""),
            (day_words(one.wanted_on), str(one.wanted_on)),
            (chance_words(one.chance), f"{one.chance:.6f}"),
            (_by(one), _by_key(one)),
        ]
        for one in jobs
    ]  # fmt: skip
    table = sortable_cards("The first wanted first", columns, rows, "awaited")
    words = html.P(
        "* past the record: no plan rests on such a day. 'now': all of it is in hand already.",
        className="rest",
    )
    return html.Section([*kept_rows(table, count_words(len(rows), "job")).children, words])


def _stage(one: AwaitedStage) -> html.Div:
    row, day = one.stage.row, day_words(one.stage.wanted_on)
    its_day = f"published for {day}" if one.stage.published else f"promised by {day}"
    head = html.Span(f"{KIND_WORDS[row.kind]} {row.stage}, {its_day}", className="name")
    return html.Div([head, lines([sentence(words) for words in one.words], "reasons")])


def _by(one: AwaitedJob) -> list[Child]:
    """Of each stage; alike ones once."""
    told: dict[str, list[str]] = {}
    for stage in one.stages:
        told.setdefault(stage.likely, []).append(stage.stage.row.stage)
    if len(told) == 1:
        return [next(iter(told))]
    return [html.Div(f"{', '.join(names)}: {words}") for words, names in told.items()]


def _by_key(one: AwaitedJob) -> str:
    dates = one.stages[0].stage.outlook.dates
    return str(dates.likely_on or dates.likely_past_record or "9999")
