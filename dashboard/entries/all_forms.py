"""All forms of the board, put up together."""

from dash import Dash

from dashboard.entries.answering import put_up_form
from dashboard.entries.desk import Desk
from dashboard.entries.form import Form
from dashboard.entries.forms import correction, hours, load, pin, progress, publish, reading, state
from dashboard.entries.lists import put_up_lists

FORMS: tuple[Form, ...] = (
    hours.FORM,
    correction.FORM,
    progress.FORM,
    load.FORM,
    reading.FORM,
    state.FORM,
    pin.FORM,
    publish.FORM,
)


def put_up_forms(app: Dash, desk: Desk) -> None:
    """Answer the addresses of all forms, and of the pages that lead to them."""
    for form in FORMS:
        put_up_form(app, desk, form)
    put_up_lists(app, desk)
