"""What jobs made and lost, and what to change: sections of the owner's page."""

from collections.abc import Sequence
from urllib.parse import urlencode

from dash import dcc, html

from crewplan.ledger.findings import ENOUGH_CASES, WEEKS
from crewplan.model.closed import days_of
from crewplan.model.ledger import JobMargin, Span
from crewplan.model.owner import OwnerView
from crewplan.publishing.closing_text import closed_sentence, correction_sentences
from crewplan.publishing.expected_text import (
    HOW_HELD,
    TEXT_COLUMNS,
    bin_cells,
    chance_sentences,
    not_judged,
)
from crewplan.publishing.figure_text import figure_text
from crewplan.publishing.findings_text import change_words, evidence_words
from crewplan.publishing.margins_text import WATERFALL
from crewplan.publishing.reader import decimal
from crewplan.publishing.waiting_words import plain
from crewplan.running.board_view import BoardView
from dashboard.figures.owner_bars import (
    MOST_CAUSES,
    MOST_MARKS,
    losses_over_time,
    plan_against_actual,
    waterfall,
)
from dashboard.once import once
from dashboard.owner_desk import OwnerLook
from dashboard.pages.parts import Child, card_table, lines, opens
from dashboard.pages.picture import picture
from dashboard.tables.owner_tables import EXPORTS, lost_causes
from dashboard.text.chances import count_words
from dashboard.text.owner_words import (
    BEHIND,
    BEING_READ,
    NOTHING_KEPT_HERE,
    added_up_from,
    dearest_words,
    money_words,
    pace_words,
    span_sentence,
)

MOST_ROWS = 50
"""Jobs of the table. Assumed: nobody reads more; the exports have all."""
_WHOLE = {"data-whole": ""}
"""A link that is no page of the board's own script."""


def owner_sections(view: BoardView, found: OwnerLook | None, address: str) -> list[Child]:
    """Everything about the days of the look; exports are found under `address`.

    Hours come every minute, and with them the page around this; what was made of a record is made
    into a page once.
    """
    head = html.H2("So far: what was made, and what was lost")
    if found is None:
        return [head, html.P(BEING_READ, className="warning")]
    look, months, currency = found.shown, found.months, view.branch.settings.currency
    stamp = (look, months)
    told = once(view, "owner", stamp, lambda: html.Div(_of_record(look, months, currency, address)))
    of = [html.P(added_up_from(found.version), className="no-print")] if found.version else []
    behind = [html.P(BEHIND, className="warning")] if found.behind else []
    return [head, *of, *behind, told]


def _of_record(look: OwnerView, months: Sequence[str], currency: str, address: str) -> list[Child]:
    return [
        _days(look.record.span),
        *_closed(look, months),
        html.P(money_words(look, currency)),
        html.P(dearest_words(look, currency)),
        html.Div([_waterfall(look, currency), _over_time(look)], className="two"),
        html.H2("Plan against actual, job by job"),
        html.P(pace_words(look)),
        _paces(look, currency),
        html.H2("What to change"),
        _changes(look, currency),
        html.H2("Was planning right?"),
        _planning(look),
        html.H2("Take it along"),
        _exports(look.record.span, address),
    ]


def _days(span: Span) -> html.Form:
    """Works without script: it asks for the page anew."""
    first = dcc.Input(type="date", name="from", value=str(span.first or ""))
    last = dcc.Input(type="date", name="to", value=str(span.last or ""))
    return html.Form(
        [
            html.Span(span_sentence(span)),
            html.Label(["From ", first]),
            html.Label(["to ", last]),
            html.Button("Show these days", type="submit"),
        ],
        method="get",
        action="/hours",
        className="keeps no-print",
    )


def _closed(look: OwnerView, months: Sequence[str]) -> list[Child]:
    """That the month is closed, and what was entered for it since; ways to the closed months."""
    content: list[Child] = []
    if look.closing is not None:
        content.append(html.P(closed_sentence(look.closing), className="note"))
        head, *entered = [*correction_sentences(look.closing)] or [""]
        if entered:
            content.append(opens(html.B(head), lines(entered, "sentences")))
    if months:
        links: list[Child] = ["Closed months: "]
        for month in reversed(months):
            span = days_of(month)
            address = f"/hours?{urlencode({'from': str(span.first), 'to': str(span.last)})}"
            links += [html.A(month, href=address), " "]
        content.append(html.P(links, className="no-print"))
    return content


def _planning(look: OwnerView) -> html.Section:
    """Of all plans and days, whatever days are shown above."""
    found = look.expected
    if found is None:
        return html.Section([html.P(NOTHING_KEPT_HERE)])
    plans = count_words(found.plans, "published plan")
    content: list[Child] = [
        html.P(f"Expectations of {plans} against what was written down until now, all days.")
    ]
    if found.bins:
        content.append(lines(chance_sentences(found), "sentences"))
        rows = [list(bin_cells(one)) for one in found.bins]
        columns = (*TEXT_COLUMNS[:-1], "Verdict")
        table = card_table("Chances told and what came of them", columns, rows, "stays figures")
        content.append(_scrolls(table, "Chances told and what came of them"))
    else:
        content.append(html.P("No placement of theirs is over with anything written down."))
    content.append(opens(html.B("How they are held"), lines([not_judged(found), HOW_HELD])))
    return html.Section(content)


def _scrolls(table: html.Table, words: str) -> html.Div:
    """On a narrow screen it scrolls inside its own region."""
    return html.Div(table, className="scrolls", role="region", tabIndex=0, **{"aria-label": words})


def _waterfall(look: OwnerView, currency: str) -> html.Section:
    falls = (look.planned, look.now, look.at_completion)
    rows: list[list[Child | list[Child]]] = [
        [words, *(decimal(getattr(fall, part) / 100, 0) for fall in falls)]
        for part, words in WATERFALL
    ]
    amounts = [getattr(look.at_completion, part) / 100 for part, _ in WATERFALL]
    content: list[Child] = [html.H3("From price to margin, all of these jobs")]
    if look.record.margins:
        figure = waterfall([words for _, words in WATERFALL], amounts, currency)
        content.append(picture(figure, "At completion: the price, less each part, is the margin."))
    columns = ("Part", "Planned", "Now", "At completion")
    table = card_table(f"Money in {currency}", columns, rows, "stays figures")
    content.append(_scrolls(table, "From price to margin"))
    return html.Section(content)


def _over_time(look: OwnerView) -> html.Section:
    causes = lost_causes(look)
    content: list[Child] = [html.H3(f"Lost hours by cause, {look.step} by {look.step}")]
    if not causes:
        return html.Section([*content, html.P("Nothing was written down as lost.")])
    shown = [
        (plain(cause), [float(one.hours.get(cause, 0)) for one in look.lost])
        for cause in causes[:MOST_CAUSES]
    ]
    if rest := causes[MOST_CAUSES:]:
        others = [float(sum(one.hours.get(cause, 0) for cause in rest)) for one in look.lost]
        shown.append(("all other causes", others))
    figure = losses_over_time([one.name for one in look.lost], shown)
    content.append(picture(figure, "Person-hours lost, the dearest causes first."))
    columns = (look.step.capitalize(), "Worked", *(plain(cause).capitalize() for cause in causes))
    rows: list[list[Child | list[Child]]] = [
        [
            one.name,
            decimal(one.worked_h, 1),
            *(decimal(one.hours.get(cause, 0), 1) for cause in causes),
        ]
        for one in look.lost
    ]
    table = _scrolls(
        card_table("Person-hours", columns, rows, "stays figures"),
        "Person-hours lost by cause over time",
    )
    content.append(opens(html.B("The same in numbers"), table))
    return html.Section(content)


def _paces(look: OwnerView, currency: str) -> html.Section:
    pace = {one.job: one for one in look.paces}
    lost = {one.job: one for one in look.record.losses}
    columns = (
        "Job", "Planned", "Worked", "Times", "Stands out", "Lost", "Most of it",
        "Margin at completion", "P10", "P90", "A watt", "A crew day",
    )  # fmt: skip
    rows: list[list[Child | list[Child]]] = []
    jobs = [*lost, *(job for job in look.record.margins if job not in lost)]
    for job in jobs[:MOST_ROWS]:
        one, loss = pace.get(job), lost.get(job)
        rows.append(
            [
                job,
                f"{decimal(one.earned_h, 1)} h" if one else "none done",
                f"{decimal(one.worked_h, 1)} h" if one else "-",
                decimal(one.times, 2) if one else "-",
                (one.outlier if one else "") or "no",
                decimal(loss.cost, 0) if loss else "0",
                plain(loss.driver.cause) if loss else "-",
                *_margin(look.record.margins[job]),
            ]
        )
    more = len(jobs) - MOST_ROWS
    who = (
        f"The {MOST_ROWS} that lost most, of {decimal(len(jobs), 0)}; the CSV has all"
        if more > 0
        else ""
    )
    caption = (
        f"{who or 'Who lost most first'}. Planned: hours of the work done. A crew day is told once"
        f" a job is finished. Money in {currency}"
    )
    table = _scrolls(
        card_table(caption, columns, rows, "stays figures wide"),
        "Plan, actual and margin job by job",
    )
    words = (
        "A mark a job; above the dashed line it took more hours than planned. Triangles stand out."
    )
    if len(look.paces) > MOST_MARKS:
        words += (
            f" Of {decimal(len(look.paces), 0)} jobs not all are drawn, but all that stand out."
        )
    figure = picture(plan_against_actual(look.paces), words)
    return html.Section([figure, table] if look.paces else [table])


def _margin(margin: JobMargin) -> list[Child | list[Child]]:
    return [
        decimal(margin.at_completion.margin / 100, 0),
        decimal(margin.low / 100, 0),
        decimal(margin.high / 100, 0),
        figure_text(margin.per_watt, 3),
        figure_text(margin.per_crew_day, 0),
    ]


def _changes(look: OwnerView, currency: str) -> html.Section:
    good = [one for one in look.changes if one.enough]
    few = [one for one in look.changes if not one.enough]
    told = f"From the {WEEKS} weeks up to the last of these days, the dearest first."
    if look.closing is not None:
        told += " As the record is now, and not as it was when the month was closed."
    content: list[Child] = [html.P(told)]
    if good:
        items: list[Child | list[Child]] = [
            [html.B(f"{change_words(one)}. "), f"{evidence_words(one, currency)}."] for one in good
        ]
        content.append(html.Ol([html.Li(item) for item in items], className="sentences"))
    else:
        content.append(html.P("Nothing came back often enough to conclude anything from."))
    if few:
        words: list[Child | list[Child]] = [
            f"{plain(one.cause)}{', ' * bool(one.subject)}{one.subject}:"
            f" {evidence_words(one, currency)}."
            for one in few
        ]
        head = html.B(f"Fewer than {ENOUGH_CASES} cases, so nothing follows yet: {len(few)}")
        content.append(opens(head, lines(words, "sentences")))
    return html.Section(content)


def _exports(span: Span, address: str) -> html.Section:
    asked = {"from": span.first, "to": span.last}
    query = urlencode({name: str(day) for name, day in asked.items() if day is not None})
    query = f"?{query}" if query else ""
    links: list[Child | list[Child]] = [
        html.A(f"{name.replace('-', ' ')} (CSV)", href=f"{address}/{name}.csv{query}", **_WHOLE)
        for name in EXPORTS
    ]
    links.append(html.A("all of it (a workbook)", href=f"{address}/all.xlsx{query}", **_WHOLE))
    return html.Section(
        [
            html.P("The figures above, of the same days, with all of their digits:"),
            lines(links, "write-down"),
        ],
        className="no-print",
    )
