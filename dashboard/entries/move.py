"""A manager asks for a stage on a day, or off it, and sees what that costs before it is so."""

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any
from urllib.parse import urlencode

from dash import Dash
from flask import Response, redirect, request
from markupsafe import Markup
from werkzeug.wrappers import Response as WerkzeugResponse

from crewplan.model.whatif import Wanted
from crewplan.publishing.day_words import long_day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.running.looks import Failed, LiveLooks, Looks
from crewplan.running.moving import MovedWeek
from crewplan.store.faults import NotDone, StoreFault
from crewplan.store.publishing_plan import Told, publish
from dashboard.asking import asking
from dashboard.entries.answering import drawn, templates, token_html
from dashboard.entries.desk import HOW_TO_GET_FORMS, Desk
from dashboard.entries.questions import Questions
from dashboard.guard.refusals import refusal
from dashboard.guard.routes import guarded
from dashboard.text.chances import money_words
from dashboard.text.move_words import broken_words, price_words, refused_words, wanted_words
from dashboard.text.publish_words import COLUMNS, all_to_tell, lent_lines, move_rows

ADDRESS = "/enter/move"
_TOO_MANY = "Two others are having a week worked out; ask again in a moment."


def put_up_moves(app: Dash, desk: Desk, looks: Looks) -> None:
    """Answer the page, and the piece of it that its script asks for again."""
    questions = Questions(looks) if isinstance(looks, LiveLooks) else None

    def page() -> WerkzeugResponse:
        if questions is None or desk.store is None:
            return refusal(404, "There is nothing to move here", [HOW_TO_GET_FORMS])
        if request.method == "POST":
            return _answered(desk, questions)
        return _page(desk, questions)

    def piece() -> Response:
        if questions is None:
            return Response("", status=404)
        return Response(_standing(desk, questions), mimetype="text/html")

    guarded(app, ADDRESS, "publish", ("GET", "POST"))(page)
    guarded(app, f"{ADDRESS}/standing", "publish")(piece)


def _answered(desk: Desk, questions: Questions) -> WerkzeugResponse:
    form, name = request.form, asking().name
    if form.get("do") == "publish":
        return _publish(desk, questions)
    if form.get("do") == "drop":
        questions.drop(name)
        return redirect(f"{ADDRESS}?{urlencode({'stage': form.get('stage', '')})}", 303)
    wanted, faults = _wanted(desk, form)
    if wanted is None:
        return _page(desk, questions, faults=faults, status=422)
    if not questions.ask(name, wanted):
        return _page(desk, questions, told=_TOO_MANY, status=503)
    return redirect(f"{ADDRESS}?{urlencode({'stage': wanted.stage})}", 303)


def _wanted(desk: Desk, form: Mapping[str, str]) -> tuple[Wanted | None, dict[str, str]]:
    """What is asked for; else a sentence for each field."""
    view = desk.view_now()
    faults = {}
    stage, crew, off = form.get("stage", ""), form.get("crew", ""), form.get("how") == "off"
    if stage not in {row.stage for row in view.branch.stages} - set(view.plan.done):
        faults["stage"] = "Choose a stage that is not done."
    try:
        day = date.fromisoformat(form.get("day", ""))
    except ValueError:
        day = date.min
    if day not in view.plan.horizon.days:
        faults["day"] = "Choose one of the days of the week's plan."
    if crew and crew not in {row.crew for row in view.branch.crews}:
        faults["crew"] = "There is no such crew."
    return (None if faults else Wanted(stage, day, None if off else crew or None, off)), faults


def _publish(desk: Desk, questions: Questions) -> WerkzeugResponse:
    assert desk.store is not None
    answer, actor, now = questions.take(asking().name), asking(), datetime.now(UTC)
    if answer is None:
        return _page(
            desk, questions, told="There is nothing left to publish: ask anew.", status=409
        )
    told = Told(answer.asked_at, answer.expected)
    try:
        with desk.store.write() as connection:
            done = publish(connection, answer.rows, actor.name, now, answer.version, told)
    except NotDone as fault:
        return _page(desk, questions, told=f"{fault}.", status=409)
    except StoreFault as fault:
        return _page(desk, questions, told=f"{fault}.", status=503)
    return redirect(f"{ADDRESS}?{urlencode({'published': done.number})}", 303)


def _standing(desk: Desk, questions: Questions) -> Markup:
    """What is being worked out, or its answer, as HTML."""
    question, view = questions.of(asking().name), desk.view_now()
    if question is None:
        return Markup("")
    answer, known = question.answer, question.solving.progress()
    currency = view.branch.settings.currency
    shown: dict[str, Any] = {"asked": wanted_words(question.wanted), "state": "running"}
    if isinstance(answer, Failed):
        shown |= {"state": "failed", "why": answer.why}
    elif isinstance(answer, MovedWeek):
        shown |= _answer(desk, answer, currency)
    else:
        shown["seconds"] = f"{question.solving.seconds:.0f}"
        shown["so_far"] = f"Best so far: {money_words(known.price, currency)}." if known else ""
    html = templates().get_template("move_standing.html")
    token = token_html()
    return Markup(html.render(**shown, stage=question.wanted.stage, token=token, columns=COLUMNS))


def _answer(desk: Desk, answer: MovedWeek, currency: str) -> dict[str, Any]:
    branch, found = desk.view_now().branch, answer.comparison
    if not answer.rows:
        return {"state": "refused", "refused": refused_words(found)}
    return {
        "state": "answered",
        "prices": price_words(found, currency),
        "broken": broken_words(branch, found.broken),
        "moves": move_rows(branch, answer.since),
        "lent": lent_lines(answer.lent),
        "tell": all_to_tell(branch, answer.since, answer.lent),
    }


def _page(
    desk: Desk,
    questions: Questions,
    faults: Mapping[str, str] | None = None,
    told: str = "",
    status: int = 200,
) -> Response:
    view = desk.view_now()
    question = questions.of(asking().name)
    jobs = {job.job: job.customer or job.job for job in view.branch.jobs}
    stages = [
        (row.stage, f"{KIND_WORDS[row.kind]} {row.stage} at {jobs.get(row.job, row.job)}")
        for row in view.branch.stages
        if row.stage not in view.plan.done
    ]
    typed = request.form if request.method == "POST" else request.args
    published = request.args.get("published", "")
    return drawn(
        desk,
        "move.html",
        status,
        title="What if this stage stood elsewhere?",
        back="/",
        stages=stages,
        days=[(day.isoformat(), long_day_words(day)) for day in view.plan.horizon.days],
        crews=[(row.crew, row.crew) for row in view.branch.crews],
        values=typed,
        faults=faults or {},
        told=told,
        published=published if published.isdigit() else "",
        standing=_standing(desk, questions),
        running=question is not None and question.answer is None,
        token=token_html(),
    )
