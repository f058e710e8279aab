"""The short list of what could break the week."""

from collections.abc import Sequence

from dash import html

from crewplan.publishing.day_words import day_words
from crewplan.publishing.week_risks import Risk, week_risks
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child, opens
from dashboard.text.chances import count_words
from dashboard.text.week_words import KIND_WORDS, RISK_WORDS, kinds_counted

_SHOWN_AT_ONCE = 8
"""Stages in the list before the rest is folded: about two phone screens."""


def risk_list(view: BoardView) -> html.Section:
    """One entry a stage, the soonest first; the rest folded away."""
    found = week_risks(view.branch, view.plan)
    if not found:
        words = "Nothing that the tables know of: every stage placed is firm, on time and likely."
        return html.Section(html.P(words))
    groups: dict[str, list[Risk]] = {}
    for risk in found:
        groups.setdefault(risk.stage, []).append(risk)
    items = [_item(view, group) for group in groups.values()]
    kinds = kinds_counted([risk.kind for risk in found])
    content: list[Child] = [
        html.P(f"{count_words(len(groups), 'stage')} to watch: {kinds}."),
        html.Ol(items[:_SHOWN_AT_ONCE], className="risks"),
    ]
    rest = items[_SHOWN_AT_ONCE:]
    if rest:
        content.append(opens(f"{len(rest)} more to watch", html.Ol(rest, className="risks")))
    return html.Section(content, **{"aria-label": "What could break it"})


def _item(view: BoardView, group: Sequence[Risk]) -> html.Li:
    first = group[0]
    stage = next(s for s in view.branch.stages if s.stage == first.stage)
    job = next(j for j in view.branch.jobs if j.job == first.job)
    where = f"{day_words(first.day)}, {first.crew}" if first.day else "No day, no crew"
    what = f"{KIND_WORDS[stage.kind]} {first.stage}, {job.customer or job.job}"
    return html.Li(
        [
            html.P([html.B(where), html.Span(what)], className="risk-head"),
            html.Dl([part for risk in group for part in _trouble(risk)]),
        ]
    )


def _trouble(risk: Risk) -> list[Child]:
    css = "broken" if risk.kind in ("not placed", "late") else "watch"
    what: list[Child] = [html.Span(risk.what)]
    if risk.kind == "weather":
        what = [
            html.Span(risk.what, className="when-fresh"),
            html.Span("The chance is unknown by now.", className="when-stale"),
        ]
    todo = html.Span(["Do: ", risk.todo], className="todo")
    return [html.Dt(RISK_WORDS[risk.kind], className=css), html.Dd([*what, todo])]
