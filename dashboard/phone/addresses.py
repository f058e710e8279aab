"""The crew's day on a telephone, by its address and by a link, with the files that it needs."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from typing import Any
from urllib.parse import urlencode

from dash import Dash
from flask import Response, g, request
from jinja2 import Environment, PackageLoader, StrictUndefined

from crewplan.model.account import Actor
from crewplan.publishing.reader import reader, written_for
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.asking import asking
from dashboard.document import is_it_there
from dashboard.entries.desk import held_view
from dashboard.entries.in_words import TELEPHONE
from dashboard.entries.lists import links_of
from dashboard.guard.routes import guarded
from dashboard.phone.facts import day_facts
from dashboard.phone.language import LANGUAGES, LOCALES, Tongue, chosen_language
from dashboard.phone.seen import Seen
from dashboard.phone.stops import stops, ticked

ADDRESS = "/small/tomorrow"
_FILES = {
    "phone.css": "text/css",
    "phone.js": "text/javascript",
    "worker.js": "text/javascript",
}
_FORM_KEYS = {
    "/enter/reading": "form_reading",
    "/enter/load": "form_load",
    "/enter/hours": "form_hours",
    "/enter/progress": "form_progress",
}


@cache
def _templates() -> Environment:
    return Environment(
        loader=PackageLoader("dashboard", "phone/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def phone_page(
    view: BoardView,
    crew: str,
    actor: Actor,
    store: Store | None,
    now: datetime,
    args: dict[str, str],
    code: str,
    whole: bool,
) -> str:
    """The document.

    Args:
        view: the look as the reader may know it.
        crew: whose day.
        actor: who reads, which decides the forms that are offered.
        store: the board's database, if it has one.
        now: the moment of asking.
        args: of the address, for links back to it.
        code: the reader's language.
        whole: with ways to other crews and pages; False: by a link to this day alone.
    """
    with written_for(LOCALES[code] or reader()):
        tongue = Tongue(code)
        seen = Seen(held_view(store, view, crew, now), crew, now, tongue)
        facts = day_facts(seen)
        for visit in facts["visits"]:
            visit["ticked"] = ticked(seen, store, visit["stage"])
            visit["forms"] = _forms(tongue, actor, store, visit["stage"], crew)
        settings = view.branch.settings
        return (
            _templates()
            .get_template("day.html")
            .render(
                **facts,
                say=tongue.say,
                code=code,
                branch=settings.name,
                invented=settings.invented,
                runs=view.clock == "now",
                made=seen.time(now if view.clock == "now" else view.asked_at),
                made_at=now.isoformat(timespec="seconds"),
                signed_in=g.get("account") is not None,
                languages=[
                    (other, name, f"?{urlencode(args | {'lang': other})}")
                    for other, name in LANGUAGES.items()
                ],
                choose=whole and len(facts["crews"]) > 1,
                stops=stops(seen, store),
                ways=_ways(tongue, crew, facts["known"]) if whole else [],
            )
        )


def _forms(
    tongue: Tongue, actor: Actor, store: Store | None, stage: str, crew: str
) -> list[tuple[str, str]]:
    if store is None:
        return []
    came = urlencode({"from": TELEPHONE, "lang": tongue.code})
    return [
        (tongue.say(_FORM_KEYS[address.partition("?")[0]]), f"{address}&{came}")
        for _, address in links_of(actor, stage, crew)
    ]


def _ways(tongue: Tongue, crew: str, known: bool) -> Sequence[tuple[str, str]]:
    query = urlencode({"crew": crew})
    full = (tongue.say("full"), f"/tomorrow?{query}" if known else "/tomorrow")
    if not known:
        return [full]
    return [full, (tongue.say("calendar"), f"/calendar.ics?{query}")]


def answer(view: BoardView, crew: str, actor: Actor, store: Store | None, whole: bool) -> Response:
    """The page for the request that is being answered."""
    code = chosen_language(request.args.get("lang", ""), request.accept_languages)
    args = {name: value for name, value in request.args.items() if name != "lang"}
    told = phone_page(view, crew, actor, store, datetime.now(UTC), args, code, whole)
    headers = {"Vary": "Accept-Language", "Content-Language": code}
    return Response(told, mimetype="text/html", headers=headers)


def add_phone(
    app: Dash,
    seen: Callable[[], BoardView],
    crew_of: Callable[[BoardView, str], str],
    store: Store | None,
) -> None:
    """Answer the page and its files.

    Args:
        app: the board.
        seen: the look as whoever asks may know it.
        crew_of: the crew that an address asks for.
        store: the board's database, if it has one.
    """

    @guarded(app, ADDRESS, "see tomorrow")
    def _day() -> Response:
        view = seen()
        crew = crew_of(view, request.query_string.decode("utf-8", "replace"))
        return answer(view, crew, asking(), store, whole=True)

    for name, mimetype in _FILES.items():
        guarded(app, f"/small/{name}", "anybody")(_file(name, mimetype))


def _file(name: str, mimetype: str) -> Callable[[], Response]:
    text = files("dashboard.phone").joinpath("files", name).read_text("utf-8")
    if name == "phone.js":
        text = is_it_there() + text

    def sent() -> Response:
        # the worker keeps days under links too, which lie beside its own address
        headers: dict[str, Any] = {"Service-Worker-Allowed": "/"} if name == "worker.js" else {}
        return Response(text, mimetype=mimetype, headers=headers)

    return sent
