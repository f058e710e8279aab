"""Shows a form, takes it in once, and answers whatever stands against that."""

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache
from typing import Any
from urllib.parse import urlencode

from dash import Dash
from flask import Response, current_app, redirect, request
from itsdangerous import BadSignature, URLSafeSerializer
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from sqlalchemy import Connection
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as WerkzeugResponse

from crewplan.intake import InputFaults
from crewplan.model.calendar import zone
from crewplan.publishing.reader import reader, written_for
from crewplan.store.faults import Conflict, DatabaseFault, NotDone, StoreFault
from crewplan.store.sent_forms import SentBefore, new_nonce, taken_once
from crewplan.store.versions import version_at
from dashboard.asking import asking
from dashboard.entries.asked import Asked, BadValues, NotHere, NotYours, Odd, Values
from dashboard.entries.desk import HOW_TO_GET_FORMS, Desk
from dashboard.entries.form import Form, Told
from dashboard.entries.in_words import TELEPHONE, reader_tongue, words
from dashboard.guard.forgery import FIELD, hidden_field
from dashboard.guard.own_eyes import seen_by
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.phone.language import LANGUAGES, LOCALES
from dashboard.plain_html import to_html
from dashboard.text.access_words import NOT_FOR_YOU
from dashboard.text.tomorrow_words import time_words

NONCE, VERSION, SURE, LOOK = "form_mark", "version_read", "sure", "look"
_OURS = (FIELD, NONCE, VERSION, SURE, LOOK)
_KEPT = "kept"


@cache
def templates() -> Environment:
    """Templates that escape what they are given, and fail on what they are not."""
    made = Environment(
        loader=PackageLoader("dashboard", "entries/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {"w": words, "language": lambda: reader_tongue().code}
    return made


def drawn(desk: Desk, template: str, status: int = 200, **shown: Any) -> Response:
    """A page of a template."""
    settings = desk.view_now().branch.settings
    page = templates().get_template(template)
    return Response(
        page.render(branch=settings.name, clock=desk.view_now().clock, **shown),
        status=status,
        mimetype="text/html",
    )


def put_up_form(app: Dash, desk: Desk, form: Form) -> None:
    """Answer a form's address."""

    def answered() -> WerkzeugResponse:
        return answer(desk, form)

    guarded(app, form.rule, form.act, ("GET", "POST"))(answered)


def answer(desk: Desk, form: Form) -> WerkzeugResponse:
    """A page, or a way on to the page after."""
    if desk.store is None:
        return refusal(404, "There are no forms here", [HOW_TO_GET_FORMS])
    view = seen_by(desk.view_now(), asking())
    asked = Asked(view, desk.store, asking(), request.args, datetime.now(UTC))
    try:
        with written_for(LOCALES[reader_tongue().code] or reader()):
            if request.method == "POST":
                return _taken(desk, form, asked, request.form)
            return _page(desk, form, asked)
    except NotHere as none:
        return refusal(404, words("Nothing here"), [f"{str(none)[0].upper()}{str(none)[1:]}."])
    except NotYours:
        return refusal(403, words(f"{NOT_FOR_YOU}."), [words("It is with another crew.")])
    except StoreFault as fault:
        return refusal(503, words("The database does not answer"), [_sentence(fault)])


def _sentence(fault: NotDone | StoreFault) -> str:
    if isinstance(fault, DatabaseFault):
        return f"{fault.name}: {words(fault.said)}."
    return f"{words(str(fault))}."


def _facts(form: Form, asked: Asked, connection: Connection) -> dict[str, Any]:
    """What a form shows; whoever came from the telephone's page goes back to it."""
    facts = dict(form.facts(asked, connection))
    if asked.args.get("from") == TELEPHONE and facts["back"].startswith("/tomorrow"):
        language = asked.args.get("lang", "")
        chosen = f"&lang={language}" if language in LANGUAGES else ""
        facts["back"] = f"/small{facts['back']}{chosen}"
    return facts


def _page(
    desk: Desk,
    form: Form,
    asked: Asked,
    typed: Values | None = None,
    faults: Mapping[str, str] | None = None,
    told: str = "",
    status: int = 200,
) -> Response:
    """The form: with what stands, or with what was typed and what is wrong with it."""
    with asked.store.read() as connection:
        facts = _facts(form, asked, connection)
        values = form.blank(asked, connection) if typed is None else typed
        version = version_at(connection, None).number
    return drawn(
        desk,
        form.template,
        status,
        **facts,
        values=values,
        faults=faults or {},
        told=told,
        kept=_said() if typed is None else None,
        hidden=_hidden(version if typed is None else typed.get(VERSION, ""), typed),
        again=lambda: _hidden(version),
    )


def token_html() -> Markup:
    """The hidden field that says that a form is one of ours, as HTML."""
    return Markup(to_html(hidden_field()))


def _hidden(version: int | str, typed: Values | None = None) -> Markup:
    """The fields that every form carries; its mark stays the same until it was taken in."""
    mark = new_nonce() if typed is None else typed.get(NONCE, "")
    fields = [(NONCE, mark), (VERSION, str(version))]
    inputs = Markup("").join(
        Markup('<input type="hidden" name="{}" value="{}">').format(*field) for field in fields
    )
    return token_html() + inputs


def _taken(desk: Desk, form: Form, asked: Asked, sent: Values) -> WerkzeugResponse:
    store, by = asked.store, asked.actor.name
    if sent.get(LOOK):
        return _page(desk, form, asked, sent)
    try:
        with taken_once(store, sent.get(NONCE, ""), by, asked.now) as connection:
            form.facts(asked, connection)  # whose it is, before anything is written
            kept = form.keep(asked, connection, sent)
    except SentBefore:
        return _onward(words("Taken in already; nothing was written twice."))
    except BadValues as bad:
        return _page(desk, form, asked, sent, bad.faults, status=422)
    except InputFaults as bad:
        told = {fault.column: fault.sentence() for fault in bad.faults}
        return _page(desk, form, asked, sent, told, status=422)
    except Odd as odd:
        return _asked_back(desk, form, asked, sent, odd)
    except Conflict as conflict:
        return _chosen(desk, form, asked, sent, conflict)
    except (NotDone, StoreFault) as fault:
        status = 409 if isinstance(fault, NotDone) else 503
        return _page(desk, form, asked, sent, told=_sentence(fault), status=status)
    return _onward(kept)


def _signer() -> URLSafeSerializer:
    return URLSafeSerializer(current_app.secret_key or b"", salt="crewplan kept")


def _onward(kept: str | Told) -> WerkzeugResponse:
    """Back to the form, which shows what stands now; loading it again sends nothing.

    What was kept is told by the address, signed: nobody can have the board say anything else.
    """
    told = kept if isinstance(kept, Told) else Told(kept, "kept")
    signed = _signer().dumps([told.words, told.looks])
    return redirect(f"{_here()}&{urlencode({_KEPT: signed})}", 303)


def _said() -> Told | None:
    try:
        kept, looks = _signer().loads(request.args.get(_KEPT, ""))
    except (BadSignature, ValueError):  # ValueError: signed by a board of before this form
        return None
    return Told(kept, looks)


def _carried(sent: Values) -> list[tuple[str, str]]:
    return [(name, value) for name, value in sent.items(multi=True) if name not in _OURS]


def _here() -> str:
    args = {name: value for name, value in request.args.items() if name != _KEPT}
    return f"{request.path}?{urlencode(args)}"


def _asked_back(desk: Desk, form: Form, asked: Asked, sent: Values, odd: Odd) -> Response:
    with asked.store.read() as connection:
        facts = _facts(form, asked, connection)
    return drawn(
        desk,
        "questions.html",
        409,
        **facts,
        questions=odd.questions,
        carried=_carried(sent),
        here=_here(),
        hidden=_hidden(sent.get(VERSION, ""), sent),
        sure=SURE,
        look=LOOK,
    )


def _chosen(desk: Desk, form: Form, asked: Asked, sent: Values, conflict: Conflict) -> Response:
    """What was, what is, what they wanted; and the choice."""
    with asked.store.read() as connection:
        facts = _facts(form, asked, connection)
        version = version_at(connection, None).number
    return drawn(
        desk,
        "conflict.html",
        409,
        **facts,
        conflict=conflict,
        changed_at=time_words(conflict.at.astimezone(zone(asked.view.branch.settings))),
        carried=_carried(sent),
        here=_here(),
        hidden=_hidden(version),
    )


def version_read(sent: Values) -> int:
    """The version that the form's page was made of.

    Raises:
        NotDone: it is none.
    """
    text = sent.get(VERSION, "")
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NotDone("the form does not say which version it was made of; open it again")
    return int(text)


def sure(sent: Values) -> bool:
    """Whether they were asked, and said to keep it."""
    return sent.get(SURE) == "yes"


def fields(pairs: Mapping[str, str | list[str]] | list[tuple[str, str]]) -> Values:
    """Fields of a form."""
    return MultiDict(pairs)
