"""The week and the next day as tables for other programs."""

from dataclasses import replace
from datetime import datetime

from crewplan.model.verdict import DayVerdict
from crewplan.publishing.lent_words import come_and_gone
from crewplan.publishing.load_list import load_list
from crewplan.publishing.sheets import Sheet
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.entries.desk import held_view
from dashboard.tables.crew_day import Visit, placement_days, visits

_WEEK = (
    "crew", "day", "halves", "stage", "kind", "job", "customer", "address", "lead", "people",
    "firm", "waits_for", "p_go", "p_finish", "p_ready", "lost_h", "cost", "lent", "lent_away",
)  # fmt: skip
_WEEK_NUMBERS = frozenset({"p_go", "p_finish", "p_ready", "lost_h", "cost"})
_LEFT_OUT = ("stage", "kind", "job", "customer", "due_on", "why", "cost")
_VERDICTS = (
    "day", "crew", "stage", "job", "exposure", "verdict", "windows", "why", "window_needed_h",
    "void_after", "clock",
)  # fmt: skip
_LOAD = ("day", "crew", "stage", "job", "item", "count", "spare")


def week_sheet(view: BoardView) -> Sheet:
    """A row a crew, day and stage; the price stands on a placement's first day."""
    rows = [
        _visit(view, visit) for day in view.plan.horizon.days for visit in visits(view, day)
    ]  # fmt: skip
    return Sheet("placed", _WEEK, rows, frozenset(_WEEK) - _WEEK_NUMBERS)


def _visit(view: BoardView, visit: Visit) -> tuple[str, ...]:
    placement, job = visit.planned.placement, visit.job
    day = placement_days(view.plan, visit.planned)[visit.day_number - 1]
    come, gone = come_and_gone(view.lent, day, placement.crew, placement.stage)
    return (
        placement.crew,
        str(day),
        visit.halves,
        visit.stage.stage,
        visit.stage.kind,
        job.job,
        job.customer,
        job.address,
        placement.lead,
        "; ".join(placement.people),
        "yes" if visit.planned.firm else "no",
        "; ".join(visit.planned.waits_for),
        f"{placement.p_go:.4f}",
        f"{placement.p_finish:.4f}",
        f"{placement.p_ready:.4f}",
        f"{placement.lost_h:.2f}",
        f"{placement.cents / 100:.2f}" if visit.day_number == 1 else "",
        "; ".join(f"{one.person} ({one.home})" for one in come),
        "; ".join(f"{one.person} ({one.crew})" for one in gone),
    )


def left_out_sheet(view: BoardView) -> Sheet:
    """A row a stage without a place, with all that keeps it out."""
    stages = {stage.stage: stage for stage in view.branch.stages}
    jobs = {job.job: job for job in view.branch.jobs}
    rows = [
        (
            one.stage,
            stages[one.stage].kind,
            one.job,
            jobs[one.job].customer,
            str(jobs[one.job].due_on),
            "; ".join(reason.detail for reason in one.reasons),
            f"{one.cents / 100:.2f}",
        )
        for one in view.plan.unplaced
    ]
    return Sheet("left out", _LEFT_OUT, rows, frozenset(_LEFT_OUT) - {"cost"})


def held_day(view: BoardView, store: Store | None, now: datetime) -> BoardView:
    """The look with every crew's verdicts as they count at this moment.

    They are shut where something was measured on site, and unknown where they are void by now.
    """
    crew_of = {visit.stage.stage: visit.planned.placement.crew for visit in _of_the_day(view)}
    held = {
        crew: {(v.stage, v.exposure): v for v in held_view(store, view, crew, now).verdicts}
        for crew in dict.fromkeys(crew_of.values())
    }
    verdicts = [
        held[crew_of[v.stage]][v.stage, v.exposure] if v.stage in crew_of else v
        for v in view.verdicts
    ]
    return replace(view, verdicts=tuple(_aged(view, verdict, now) for verdict in verdicts))


def _aged(view: BoardView, verdict: DayVerdict, now: datetime) -> DayVerdict:
    if view.clock != "now" or verdict.void_after is None or now <= verdict.void_after:
        return verdict
    return replace(verdict, verdict="unknown", windows=(), why="the forecast is too old by now")


def _of_the_day(view: BoardView) -> tuple[Visit, ...]:
    return visits(view, view.gate_day)


def verdicts_sheet(view: BoardView) -> Sheet:
    """A row a verdict of the look's day; of the branch's own place without a stage."""
    crew_of = {visit.stage.stage: visit.planned.placement.crew for visit in _of_the_day(view)}
    rows = [
        (
            str(v.day),
            crew_of.get(v.stage, ""),
            v.stage,
            v.job,
            v.exposure,
            v.verdict,
            "; ".join(f"{w.start:%H:%M} to {w.end:%H:%M}" for w in v.windows),
            v.why,
            f"{v.window_needed_h:.2f}",
            v.void_after.isoformat() if v.void_after else "",
            v.clock,
        )
        for v in view.verdicts
    ]
    return Sheet("verdicts", _VERDICTS, rows, frozenset(_VERDICTS) - {"window_needed_h"})


def load_sheet(view: BoardView) -> Sheet:
    """A row an item that a crew loads for the look's day."""
    rows = [
        (
            str(view.gate_day),
            visit.planned.placement.crew,
            visit.stage.stage,
            visit.job.job,
            line.item,
            str(line.counted),
            str(line.spare),
        )
        for visit in _of_the_day(view)
        if visit.job.job in view.takeoffs
        for line in load_list(view.branch, visit.stage, view.takeoffs[visit.job.job])
    ]
    return Sheet("load", _LOAD, rows, frozenset(_LOAD) - {"count", "spare"})
