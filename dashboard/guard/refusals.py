"""Short pages in words for whoever is not let in; they work without script."""

from collections.abc import Sequence

from dash import html
from flask import Response

from dashboard.document import small_document
from dashboard.pages.parts import Child
from dashboard.plain_html import to_html

FORGED = "Nothing was written: this page is from before. Load it again, and send it once more."
WRONG_HOST = "The board is not known by this name; crewplan board --name adds one."
WRONG_CALL = "The board does not know this question."
NO_DATABASE = "The database does not answer; nothing was written. Try again."
OWN_FAULT = "The board stopped at a fault of its own; nothing was written."


def refusal(
    status: int, title: str, words: Sequence[Child] = (), before: Sequence[Child] = ()
) -> Response:
    """A small page with a title and a paragraph a piece."""
    pieces = [html.P(piece) for piece in words]
    body = html.Main([*before, html.H1(title), *pieces], className="account")
    return Response(small_document(title, to_html(body)), status=status, mimetype="text/html")


def sentence(status: int, words: str) -> Response:
    """One plain sentence."""
    return Response(f"{words}\n", status=status, mimetype="text/plain")
