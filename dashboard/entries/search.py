"""A manager has the board look longer for a better week, sees how far it is, and may end it."""

from dash import Dash
from flask import Response, redirect, request
from markupsafe import Markup
from werkzeug.wrappers import Response as WerkzeugResponse

from crewplan.running.looks import LiveLooks, Looks
from dashboard.asking import asking
from dashboard.entries.answering import drawn, templates, token_html
from dashboard.entries.desk import HOW_TO_GET_FORMS, Desk
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.text.search_words import search_sentences, waiting_words
from dashboard.text.week_words import price_sentences, week_summary

ADDRESS = "/enter/search"
LONGEST_S = {"1": 60.0, "3": 180.0, "10": 600.0}
"""By the choice on the page, in minutes. Assumed: a coffee, and no longer."""


def put_up_search(app: Dash, desk: Desk, looks: Looks) -> None:
    """Answer the page, and the piece of it that its script asks for again."""

    def page() -> WerkzeugResponse:
        if not isinstance(looks, LiveLooks):
            return refusal(404, "There is nothing to search here", [HOW_TO_GET_FORMS])
        if request.method == "POST":
            return _begun_or_ended(looks)
        return _page(desk, looks)

    def piece() -> Response:
        if not isinstance(looks, LiveLooks):
            return Response("", status=404)
        return Response(_standing(desk, looks), mimetype="text/html")

    guarded(app, ADDRESS, "publish", ("GET", "POST"))(page)
    guarded(app, f"{ADDRESS}/standing", "publish")(piece)


def _begun_or_ended(looks: LiveLooks) -> WerkzeugResponse:
    if request.form.get("wanted") == "enough":
        looks.enough()
    elif (longest_s := LONGEST_S.get(request.form.get("minutes", ""))) is not None:
        looks.search(longest_s, asking().name)  # where one runs, the page shows that one
    return redirect(ADDRESS, 303)


def _standing(desk: Desk, looks: LiveLooks) -> Markup:
    """What is running or came of it, as HTML."""
    currency = desk.view_now().branch.settings.currency
    one = looks.searched()
    waits = looks.waits_for_a_look()
    sentences = [waiting_words()] if waits else search_sentences(one, currency) if one else []
    found = (
        templates()
        .get_template("search_standing.html")
        .render(
            sentences=sentences,
            running=looks.searching(),
            state="waiting" if waits else one.state if one else "none",
            by=one.by if one and not waits else "",
            token=token_html(),
        )
    )
    return Markup(found)


def _page(desk: Desk, looks: LiveLooks) -> Response:
    view = desk.view_now()
    return drawn(
        desk,
        "search.html",
        title="Is there a better week?",
        back="/",
        summary=week_summary(view.plan),
        prices=price_sentences(view.plan, view.branch.settings.currency),
        standing=_standing(desk, looks),
        running=looks.searching(),
        minutes=tuple(LONGEST_S),
        token=token_html(),
    )
