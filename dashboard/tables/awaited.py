"""What jobs wait for and whom to call, as rows of the waiting page and of its exports."""

import logging
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from traceback import extract_tb

from crewplan.model.calendar import zone
from crewplan.model.job_rows import Job
from crewplan.publishing.ready_json import CALL_COLUMNS, READY_COLUMNS, call_cells, ready_cells
from crewplan.publishing.ready_text import likely_words, need_sentences, shortage_sentence
from crewplan.publishing.sheets import Sheet
from crewplan.readiness.ready_view import ReadyView, StageReady
from crewplan.running.board_view import BoardView
from crewplan.running.clock import Clock
from crewplan.running.readying import ask_ready
from dashboard.once import remembered

FAILED = "what jobs wait for could not be worked out"
_LOG = logging.getLogger(__name__)
_NUMBERS = frozenset({"p_ready", "cost_a_day"})
_IN_HAND = ("granted", "not_needed")


@dataclass(frozen=True, slots=True)
class AwaitedStage:
    """One stage that is not ready on its day."""

    stage: StageReady
    chance: float
    """That all is in hand on its day."""
    words: tuple[str, ...]
    """What it waits for, a sentence each."""
    likely: str
    """By when it is there with 80 %, in words."""


@dataclass(frozen=True, slots=True)
class AwaitedJob:
    """One job with the stages that wait, the first wanted first."""

    job: Job
    stages: tuple[AwaitedStage, ...]

    @property
    def wanted_on(self) -> date:
        """The first day on which one of them wants what it waits for."""
        return self.stages[0].stage.wanted_on

    @property
    def chance(self) -> float:
        """The least of its stages' chances."""
        return min(one.chance for one in self.stages)


@dataclass(frozen=True, slots=True)
class NotWorkedOut:
    """The working out failed on this look; another look, of other tables, tries again."""


class NothingToTell(Exception):
    """What jobs wait for could not be worked out, so that there are no rows either."""


def awaited_of(view: BoardView) -> ReadyView | NotWorkedOut:
    """What each open stage of a look waits for; worked out once a look.

    A look never changes, so that what failed once on it would fail again: that is kept too. The
    log has the reason; a page has other parts that stay right.
    """

    def asked() -> ReadyView | NotWorkedOut:
        days = len(view.plan.horizon.days) or 10
        try:
            return ask_ready(view.branch, Clock(view.asked_at, view.clock), None, days)
        except Exception as error:
            place = extract_tb(error.__traceback__)[-1]
            # the kind and the place, never the text: it may name customers
            _LOG.error(
                "%s: %s in %s, line %s", FAILED, type(error).__name__, place.name, place.lineno
            )
            return NotWorkedOut()

    return remembered(view, "awaited", None, asked)


def ready_of(view: BoardView) -> ReadyView:
    """As `awaited_of`, for whoever needs rows.

    Raises:
        NothingToTell: it could not be worked out.
    """
    found = awaited_of(view)
    if isinstance(found, NotWorkedOut):
        raise NothingToTell
    return found


def next_day(view: BoardView) -> datetime:
    """When the look's day is over: its calls are of that day."""
    day = view.asked_at.astimezone(zone(view.branch.settings)).date() + timedelta(days=1)
    return datetime.combine(day, time(), zone(view.branch.settings))


def awaited_jobs(ready: ReadyView) -> tuple[AwaitedJob, ...]:
    """Jobs that wait for something, by the first day on which it is wanted."""
    by_job: dict[str, list[AwaitedStage]] = {}
    jobs: dict[str, Job] = {}
    for stage in ready.stages:
        if ready.ready_on_its_day(stage):
            continue
        at = ready.days.index(stage.wanted_on)
        one = AwaitedStage(
            stage,
            float(stage.outlook.p[at]),
            tuple(_sentences(ready, stage)),
            likely_words(ready, stage.outlook.dates),
        )
        by_job.setdefault(stage.job.job, []).append(one)
        jobs[stage.job.job] = stage.job
    found = [
        AwaitedJob(jobs[job], tuple(sorted(stages, key=lambda one: one.stage.wanted_on)))
        for job, stages in by_job.items()
    ]
    return tuple(sorted(found, key=lambda one: (one.wanted_on, one.job.job)))


def _sentences(ready: ReadyView, stage: StageReady) -> Iterator[str]:
    states = {need.kind: need for need in stage.waits.states}
    in_hand = [
        need.state in _IN_HAND and not need.lapsed_by(stage.wanted_on) for need in states.values()
    ]
    # one sentence a need, in the same order, then the calls that stop nothing
    for place, words in enumerate(need_sentences(ready, stage)):
        if place >= len(in_hand) or not in_hand[place]:
            yield words
    for short in stage.short:
        yield shortage_sentence(ready, short).removeprefix(f"{stage.row.stage}: ")
    open_names = {other.row.stage for other in ready.stages}
    before = [name for name in stage.row.after if name in open_names]
    if stage.row.kind == "inspection" and before:
        yield f"{', '.join(before)} must be done before."


def calls_sheet(view: BoardView) -> Sheet:
    """A row a call of today, the dearest delay first."""
    words = frozenset(CALL_COLUMNS) - _NUMBERS
    return Sheet("calls", CALL_COLUMNS, call_cells(ready_of(view)), words)


def awaited_sheet(view: BoardView) -> Sheet:
    """A row a stage and day of the plan: how likely all is in hand, and what holds it."""
    words = frozenset(READY_COLUMNS) - _NUMBERS
    return Sheet("waiting", READY_COLUMNS, ready_cells(ready_of(view)), words)
