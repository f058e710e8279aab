"""Pieces that every page is made of."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from crewplan.model.verdict import Verdict
from crewplan.running.board_view import BoardView
from dashboard.text.verdict_words import NOT_FOR_WORK, VERDICT_WORDS

Child = Component | str
Children = Sequence[Child] | Child

_VERDICT_SHAPES: dict[Verdict, str] = {"go": "go", "no-go": "no-go", "unknown": "unknown"}


def shape(name: str) -> html.Img:
    """A shape beside a word that says the same; nothing for a reader who hears the page."""
    return html.Img(src=f"/assets/{name}.svg", alt="", className="shape", width="20", height="20")


def verdict_sign(verdict: Verdict, large: bool = False) -> html.Span:
    """Shape and word of a verdict; turns to UNKNOWN with whatever ages around it."""
    size = " large" if large else ""
    return html.Span(
        [
            html.Span(
                [shape(_VERDICT_SHAPES[verdict]), html.B(VERDICT_WORDS[verdict])],
                className=f"sign when-fresh is-{verdict}{size}",
            ),
            html.Span(
                [shape("unknown"), html.B(VERDICT_WORDS["unknown"])],
                className=f"sign when-stale is-unknown{size}",
            ),
        ]
    )


def firm_sign(firm: bool) -> html.Span:
    """Shape and word: everything in hand, or only likely to be."""
    word = "firm" if firm else "pencilled"
    return html.Span([shape(word), html.B(word)], className=f"sign is-{word}")


def ages(
    children: Children,
    view: BoardView,
    void_after: datetime | None,
    now: datetime,
    **attributes: Any,
) -> html.Div:
    """A block that turns to unknown after `void_after` and when the connection drops.

    The page's own script does it in the browser; what is too old when it is sent is marked here.
    A clock set by hand does not run, so that nothing ages against it.
    """
    runs = view.clock == "now" and void_after is not None
    stale = {"data-stale": "age"} if runs and now > void_after else {}
    css = " ".join(filter(None, ("ages", attributes.pop("className", ""))))
    void = {"data-void-after": void_after.isoformat()} if runs else {}
    return html.Div(children, className=css, **void, **stale, **attributes)


def fresh(children: Children, **attributes: Any) -> html.Div:
    """Shown only while the block around it is not too old."""
    css = " ".join(filter(None, ("when-fresh", attributes.pop("className", ""))))
    return html.Div(children, className=css, **attributes)


def fresh_words(words: str) -> html.Span:
    """A figure that turns to the word 'unknown' with the block around it."""
    return html.Span(
        [
            html.Span(words, className="when-fresh"),
            html.Span("unknown", className="when-stale"),
        ]
    )


def card_table(
    caption: str,
    columns: Sequence[str],
    rows: Sequence[Sequence[Child | list[Child]]],
    css: str = "",
) -> html.Table:
    """A table whose rows turn to cards on a narrow screen; the first column heads its row."""
    body = [
        html.Tr(
            [
                html.Th(cells[0], scope="row", role="rowheader"),
                *(
                    html.Td(html.Div(cell), role="cell", **{"data-label": column})
                    for column, cell in zip(columns[1:], cells[1:], strict=True)
                ),
            ],
            role="row",
        )
        for cells in rows
    ]
    head = html.Tr([html.Th(c, scope="col", role="columnheader") for c in columns], role="row")
    return html.Table(
        [
            html.Caption(caption),
            html.Thead(head, role="rowgroup"),
            html.Tbody(body, role="rowgroup"),
        ],
        className=f"cards {css}".strip(),
        role="table",
    )  # fmt: skip


def sortable_cards(
    caption: str,
    columns: Sequence[str],
    rows: Sequence[Sequence[tuple[Child | list[Child], str]]],
    css: str = "",
) -> html.Table:
    """As `card_table`, sorted by whoever reads it: each cell comes with what it sorts by, or ''."""
    body = [
        html.Tr(
            [
                html.Th(
                    cells[0][0], scope="row", role="rowheader", **{"data-sort": cells[0][1] or None}
                ),
                *(
                    html.Td(
                        html.Div(cell),
                        role="cell",
                        **{"data-label": column, "data-sort": key or None},
                    )
                    for column, (cell, key) in zip(columns[1:], cells[1:], strict=True)
                ),
            ],
            role="row",
        )
        for cells in rows
    ]
    head = html.Tr(
        [html.Th(html.Button(c, type="button"), scope="col", role="columnheader") for c in columns],
        role="row",
    )
    return html.Table(
        [
            sorting_caption(caption),
            html.Thead(head, role="rowgroup"),
            html.Tbody(body, role="rowgroup"),
        ],
        className=f"cards sorts {css}".strip(),
        role="table",
    )


def sorting_caption(caption: str) -> html.Caption:
    """Of a table that is sorted by its columns' names, which takes a script."""
    sorts = html.Span(" Choose a column's name to sort by it.", className="with-script")
    return html.Caption([f"{caption}.", sorts])


def keeping(number: str) -> html.P:
    """Where the reader says which rows to keep of the table in the same section."""
    wanted = dcc.Input(type="search", className="keeps-rows")
    words = [
        html.Label(["Keep rows with ", wanted], className="with-script"),
        html.Span(f"{number} in all", role="status"),
    ]
    return html.P(words, className="keeps no-print")


def kept_rows(table: html.Table, number: str) -> html.Section:
    """A table of which the reader keeps the rows that hold some text."""
    return html.Section([keeping(number), table])


def opens(summary: Children, children: Children, is_open: bool = False) -> html.Details:
    """Something that may be folded away."""
    return html.Details(
        [html.Summary(summary), html.Div(children, className="folded")], open=is_open
    )


def clock_mark(view: BoardView) -> list[Child]:
    """The mark of a clock set by hand; nothing for the real one."""
    if view.clock == "now":
        return []
    return [html.P([shape("unknown"), html.B(NOT_FOR_WORK)], className="not-for-work")]


def lines(items: Sequence[Child | list[Child]], css: str = "") -> html.Ul:
    """A plain list."""
    return html.Ul([html.Li(item) for item in items], className=css)
