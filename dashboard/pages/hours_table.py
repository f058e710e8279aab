"""Hours job by job, sorted and filtered by the reader."""

from dash import html

from crewplan.publishing.reader import decimal
from crewplan.running.board_view import BoardView
from dashboard.once import once
from dashboard.pages.parts import keeping, sorting_caption
from dashboard.tables.hours_sums import JobHours, job_hours
from dashboard.text.chances import count_words

_NUMBERS = (
    ("whole", "Whole job"),
    ("worked", "Worked so far"),
    ("lost", "Lost so far"),
    ("left", "Left"),
    ("left_high", "Left, nine of ten take less"),
    ("placed", "Placed ahead"),
    ("expected_lost", "Weather ahead"),
)


def jobs_table(view: BoardView) -> html.Section:
    """Person-hours; on a narrow screen it scrolls inside its own region."""
    rows = job_hours(view)
    names = ("Job", "Customer", *(name for _, name in _NUMBERS))
    head = [html.Th(html.Button(name, type="button"), scope="col") for name in names]
    table = html.Table(
        [
            sorting_caption("Person-hours"),
            html.Thead(html.Tr(head)),
            html.Tbody([_kept_row(view, row) for row in rows]),
        ],
        className="sortable",
    )
    return html.Section(
        [
            *_left_out(view),
            keeping(count_words(len(rows), "job")),
            html.Div(
                table,
                className="scrolls",
                role="region",
                tabIndex=0,
                **{"aria-label": "Person-hours job by job"},
            ),
        ]
    )


def _left_out(view: BoardView) -> list[html.P]:
    """Finished jobs of a database, which would make the table thousands of rows long."""
    if not view.branch.finished:
        return []
    stages = count_words(len(view.branch.finished), "stage")
    words = (
        f"Jobs that are done, {stages} of them, are in the sums above and not in this table;"
        " the command crewplan hours tells of each."
    )
    return [html.P(words, className="rest")]


def _kept_row(view: BoardView, row: JobHours) -> html.Tr:
    """An entry of hours changes one row, and the others need not be made again."""
    return once(view, f"hours of {row.job}", row, lambda: _row(row))


def _row(row: JobHours) -> html.Tr:
    return html.Tr(
        [
            html.Th(row.job, scope="row"),
            html.Td(row.customer),
            *(_number(getattr(row, field)) for field, _ in _NUMBERS),
        ]
    )


def _number(hours: float) -> html.Td:
    """As the reader writes it; the script that sorts goes by the number itself."""
    return html.Td(decimal(hours, 1), className="number", **{"data-number": f"{hours:.1f}"})
