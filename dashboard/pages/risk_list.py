"""The short list of what could break the week."""

from collections.abc import Sequence

from dash import html

from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.week_risks import Risk, week_risks
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child, lines, opens
from dashboard.text.chances import count_words
from dashboard.text.plain_words import plain_words
from dashboard.text.week_words import RISK_WORDS, kinds_counted

_SHOWN_AT_ONCE = 8
"""Stages in the list before the rest is folded: about two phone screens."""


def risk_list(view: BoardView) -> html.Section:
    """One entry a stage, the soonest first; the rest folded away."""
    found = week_risks(view.branch, view.plan)
    if not found:
        words = "Nothing that the tables know of: every stage placed is firm, on time and likely."
        return html.Section(html.P(words))
    homeless = [risk for risk in found if risk.kind == "not placed"]
    groups: dict[str, list[Risk]] = {}
    for risk in found:
        if risk.kind != "not placed":
            groups.setdefault(risk.stage, []).append(risk)
    items = [_item(view, group) for group in groups.values()]
    kinds = kinds_counted([risk.kind for risk in found])
    stages = count_words(len(groups) + len(homeless), "stage")
    content: list[Child] = [
        html.P(f"{stages} to watch: {kinds}."),
        *([_not_placed(view, homeless)] if homeless else []),
        html.Ol(items[:_SHOWN_AT_ONCE], className="risks"),
    ]
    rest = items[_SHOWN_AT_ONCE:]
    if rest:
        content.append(opens(f"{len(rest)} more to watch", html.Ol(rest, className="risks")))
    return html.Section(content, **{"aria-label": "What could break it"})


def _not_placed(view: BoardView, homeless: Sequence[Risk]) -> html.Div:
    """All promises without a day in one entry; the table further down has every reason."""
    entries: list[Child | list[Child]] = [
        [
            html.B(f"{_what(view, risk)}."),
            html.Span(f" {plain_words(risk.what)}"),
            html.Span(["Do: ", risk.todo], className="todo"),
        ]
        for risk in homeless
    ]
    head = html.P(html.B(RISK_WORDS["not placed"]), className="broken")
    return html.Div([head, lines(entries, "homeless")], className="not-placed")


def _what(view: BoardView, risk: Risk) -> str:
    stage = next(s for s in view.branch.stages if s.stage == risk.stage)
    job = next(j for j in view.branch.jobs if j.job == risk.job)
    return f"{KIND_WORDS[stage.kind]} {risk.stage}, {job.customer or job.job}"


def _item(view: BoardView, group: Sequence[Risk]) -> html.Li:
    first = group[0]
    where = f"{day_words(first.day)}, {first.crew}" if first.day else first.crew
    return html.Li(
        [
            html.P([html.B(where), html.Span(_what(view, first))], className="risk-head"),
            html.Dl([part for risk in group for part in _trouble(risk)]),
        ]
    )


def _trouble(risk: Risk) -> list[Child]:
    css = "broken" if risk.kind == "late" else "watch"
    what: list[Child] = [html.Span(risk.what)]
    if risk.kind == "weather":
        what = [
            html.Span(risk.what, className="when-fresh"),
            html.Span("The chance is unknown by now.", className="when-stale"),
        ]
    todo = html.Span(["Do: ", risk.todo], className="todo")
    return [html.Dt(RISK_WORDS[risk.kind], className=css), html.Dd([*what, todo])]
