"""One visit of a crew: the verdicts, the hours, what to load, and what to mind."""

from collections.abc import Callable, Sequence
from datetime import datetime

from dash import html

from crewplan.model.job_rows import Covering, Module
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.publishing.day_words import day_words
from crewplan.publishing.evening_note import evening_note
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.lent_words import lent_of_visit
from crewplan.publishing.load_list import load_list, tools
from crewplan.publishing.sentences import sentence
from crewplan.publishing.site_cautions import ADVICE_ONLY, site_cautions
from crewplan.publishing.standby import of_visit, standby_words
from crewplan.publishing.wind_on_module import wind_words
from crewplan.running.board_view import BoardView
from crewplan.scheduling.standby import ground_steps
from dashboard.once import once, times_passed
from dashboard.pages.parts import Child, ages, card_table, firm_sign, fresh, lines, opens
from dashboard.pages.visit_hours import visit_hours
from dashboard.pages.visit_verdicts import verdict_cards
from dashboard.tables.crew_day import Visit, early_after, verdicts_for
from dashboard.tables.limits_drawn import wind_limit
from dashboard.text.chances import hours_words, listed
from dashboard.text.limit_words import obeyed
from dashboard.text.tomorrow_words import PHONE, site_words
from dashboard.text.verdict_words import TOO_OLD
from dashboard.text.week_words import halves_words

VisitNotes = Callable[[BoardView, str, str], list[Child]]
"""What was written down about a stage by a crew."""


def no_notes(_view: BoardView, _stage: str, _crew: str) -> list[Child]:
    """For those who only read."""
    return []


def visit_section(view: BoardView, visit: Visit, now: datetime, notes: VisitNotes) -> html.Section:
    """Everything for one stage on the day."""
    stage, job = visit.stage, visit.job
    needed = _needed(view, visit)
    verdicts = [v for v in verdicts_for(view, stage.stage) if v.exposure in needed]
    crew = visit.planned.placement.crew
    passed = times_passed(view, now)
    title = f"{crew}: {KIND_WORDS[stage.kind].lower()} {stage.stage} at {job.customer or job.job}"
    return html.Section(
        [
            html.H2(title),
            html.P(
                [
                    html.Span(sentence(_when(visit))),
                    firm_sign(visit.planned.firm),
                    html.Span(_people(visit)),
                    *map(html.Span, _lent(view, visit)),
                ],
                className="visit-line",
            ),
            *([] if "lift" in needed else [html.P("There is nothing to lift on this visit.")]),
            html.P(ADVICE_ONLY, className="advice"),
            once(
                view,
                f"cards {stage.stage}",
                passed,
                lambda: verdict_cards(view, verdicts, now, needed),
            ),
            *_evening(view, visit, verdicts, now),
            *_wind_line(view, visit, verdicts),
            *notes(view, stage.stage, crew),
            once(view, f"sheet {stage.stage}", passed, lambda: _sheet(view, visit, verdicts, now)),
            *_cautions(visit, verdicts),
            *_sources(view, verdicts),
        ],
        className="visit",
    )


def _sheet(
    view: BoardView, visit: Visit, verdicts: Sequence[DayVerdict], now: datetime
) -> html.Div:
    """The weather hour by hour with what to do about it, and what to load."""
    weather = [*visit_hours(view, verdicts, now), *_standby(view, visit), *_site(visit)]
    return html.Div([html.Div(weather), html.Div(_load(view, visit))], className="sheet")


def no_visit(view: BoardView, crew: str, now: datetime) -> html.Section:
    """A crew with nothing placed still sees the weather at the branch."""
    verdicts, passed = verdicts_for(view, ""), times_passed(view, now)
    words = (
        f"{crew} has nothing placed on {day_words(view.gate_day)}. Ask the office for standby work."
    )
    lent = lent_of_visit(view.lent, view.gate_day, crew)
    content: list[Child] = [html.H2(f"{crew}: nothing placed"), html.P(words)]
    content += map(html.P, lent)
    if verdicts:
        content += [
            html.H3("The weather at the branch"),
            html.P(ADVICE_ONLY, className="advice"),
            once(view, "cards", passed, lambda: verdict_cards(view, verdicts, now)),
            once(view, "sheet", passed, lambda: html.Div(visit_hours(view, verdicts, now))),
        ]
    return html.Section(content, className="visit")


def _evening(
    view: BoardView, visit: Visit, verdicts: Sequence[DayVerdict], now: datetime
) -> list[Child]:
    """The evening note; it ages as the verdicts behind it do."""
    if not verdicts:
        return []
    crew, stage = visit.planned.placement.crew, visit.stage.stage
    chosen = of_visit(view.plan.standby, view.gate_day, crew, stage)
    lent = lent_of_visit(view.lent, view.gate_day, crew, stage)
    hours = view.hours.get(stage)
    early = early_after(view, visit)
    note = evening_note(view.branch.settings, crew, verdicts, hours, chosen, lent=lent, early=early)
    rows = [
        part
        for about, text in note.lines
        for part in (html.Dt(sentence(about).rstrip(".")), html.Dd(text))
    ]
    return [
        html.H3("The evening note"),
        ages(
            [fresh([html.Dl(rows, className="evening")]), html.P(TOO_OLD, className="when-stale")],
            view,
            note.void_after,
            now,
        ),
    ]


def _needed(view: BoardView, visit: Visit) -> frozenset[Exposure]:
    """Exposures that the stage still has work in; all where its hours are not known."""
    hours = view.hours.get(visit.stage.stage)
    if hours is None or not hours.steps:
        return frozenset(EXPOSURES)
    return frozenset(step.exposure for step in hours.steps)


def _when(visit: Visit) -> str:
    return halves_words(visit.halves, visit.day_number, visit.days, visit.part)


def _people(visit: Visit) -> str:
    placement = visit.planned.placement
    others = [person for person in placement.people if person != placement.lead]
    words = f"{placement.lead} leads"
    return f"{words}, with {listed(others)}." if others else f"{words}, alone on the ground."


def _lent(view: BoardView, visit: Visit) -> tuple[str, ...]:
    placement = visit.planned.placement
    return lent_of_visit(view.lent, view.gate_day, placement.crew, placement.stage)


def _wind_line(view: BoardView, visit: Visit, verdicts: Sequence[DayVerdict]) -> list[Child]:
    module = _module(view, visit)
    gust = wind_limit(view, "lift").gust_mps
    if module is None or gust is None or "lift" not in {v.exposure for v in verdicts}:
        return []
    return [html.P(wind_words(gust, module, view.branch.settings.units), className="wind-line")]


def _module(view: BoardView, visit: Visit) -> Module | None:
    """The largest kind of module on the job's roofs."""
    kinds = {plane.module for plane in view.branch.planes if plane.job == visit.job.job}
    found = [module for module in view.branch.modules if module.module in kinds]
    return max(found, key=lambda module: module.width_mm * module.height_mm, default=None)


def _load(view: BoardView, visit: Visit) -> list[Child]:
    takeoff = view.takeoffs.get(visit.job.job)
    counted = load_list(view.branch, visit.stage, takeoff) if takeoff else ()
    hours = view.hours.get(visit.stage.stage)
    content: list[Child] = [html.H3("Load")] if visit.stage.kind == "roof" else []
    if counted and hours is not None and hours.begun:
        content.append(html.P("Work has begun: this is the whole kit, part of it is on site."))
    if counted:
        rows: list[list[Child | list[Child]]] = [[line.item, f"{line.counted}"] for line in counted]
        content.append(
            card_table("Counted, without spares", ("Item", "Pieces"), rows, "stays short figures")
        )
    elif visit.stage.kind == "roof":
        content.append(html.P("No take-off for this job: count on site before you lift."))
    content += [
        html.H3("Take along"),
        lines(list(tools(visit.stage, visit.job, _coverings(view, visit))), "ticks"),
    ]
    return content


def _coverings(view: BoardView, visit: Visit) -> list[Covering]:
    return [plane.covering for plane in view.branch.planes if plane.job == visit.job.job]


def _site(visit: Visit) -> list[Child]:
    pairs = [
        part
        for name, words in site_words(visit.job, visit.stage.kind)
        for part in (html.Dt(name), html.Dd(_call(words) if name == PHONE else words))
    ]
    return [html.H3("Site"), html.Dl(pairs, className="pairs")]


def _call(phone: str) -> html.A:
    digits = "".join(sign for sign in phone if sign.isdigit() or sign == "+")
    return html.A(phone, href=f"tel:{digits}")


def _standby(view: BoardView, visit: Visit) -> list[Child]:
    hours = view.hours.get(visit.stage.stage)
    if hours is None or not hours.exposed:
        return []
    chosen = of_visit(
        view.plan.standby, view.gate_day, visit.planned.placement.crew, visit.stage.stage
    )
    if chosen is not None and chosen.placement is not None:
        job = next((row for row in view.branch.jobs if row.job == chosen.job), None)
        where = f" Address: {job.address}." if job is not None and job.address else ""
        words = f"Chosen ahead: {standby_words(chosen)}.{where}"
        return [html.H3("If the answer is no"), html.P(words)]
    steps = [
        f"{step.step.replace('_', ' ')} ({hours_words(step.p50_h)})" for step in ground_steps(hours)
    ]
    words = (
        f"On the ground you can still do: {listed(steps)}."
        if steps
        else "Nothing of this stage can be done from the ground: ask the office for standby work."
    )
    return [html.H3("If the answer is no"), html.P(words)]


def _cautions(visit: Visit, verdicts: Sequence[DayVerdict]) -> list[Child]:
    weather = dict.fromkeys(
        caution for verdict in verdicts for hour in verdict.hours for caution in hour.cautions
    )
    items: list[Child | list[Child]] = [[html.B("Weather: "), sentence(c)] for c in weather]
    items += [
        [caution.text, " ", html.Span(f"({caution.source})", className="small")]
        for caution in site_cautions(visit.stage.kind)
    ]
    return [html.H3("Mind"), lines(items, "cautions")]


def _sources(view: BoardView, verdicts: Sequence[DayVerdict]) -> list[Child]:
    if not verdicts:
        return []
    top = max(verdicts, key=lambda verdict: EXPOSURES.index(verdict.exposure))
    told = obeyed(
        view.limits.get(top.exposure, ()),
        [source for verdict in verdicts for source in verdict.sources],
        view.branch.settings.units,
    )
    return [opens("Limits obeyed, and who says so", lines(list(told)))] if told else []
