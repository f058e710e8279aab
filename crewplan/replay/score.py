"""What a replay was worth: hours, days and money."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job
from crewplan.model.replay_score import NOTICE_DAYS, Score
from crewplan.placing.prices import priority_weight
from crewplan.replay.rolling import Replayed

STOOD_DOWN_PAID = 0.0
"""Share of the hours of a crew that was told the evening before not to come that is money lost.
Assumed: it works in the yard or has the day off; they are counted apart all the same."""

LATE_DAY = 60.0
LATE_DAY_SQUARED = 6.0
"""What a job's days after its promise count, for its customer and the next order; by its priority.
Assumed, and not what planning pays for them: a measure that moved with the prices that are chosen
by it would measure nothing."""


def _late_cost(job: Job, days: int) -> float:
    return (LATE_DAY * days + LATE_DAY_SQUARED * days * days) * priority_weight(job.priority)


def _job_days(found: Replayed) -> dict[str, tuple[date, date]]:
    """By job that is done: first and last day on site."""
    days = {}
    for one in found.sold:
        stages = [stage.stage for stage in one.stages]
        if all(stage in found.finished for stage in stages):
            first = min(found.begun[stage] for stage in stages)
            days[one.job.job] = (first, max(found.finished[stage] for stage in stages))
    return days


def _kept(found: Replayed, ahead: int) -> float | None:
    """Of stages that had begun: whether they stood there so many working days before."""
    days = (
        (begun, lambda told, stage=stage: told.get(stage)) for stage, begun in found.begun.items()
    )
    return _stood(found, ahead, days)


def _first_kept(found: Replayed, ahead: int) -> float | None:
    """Of jobs: whether the first day on site was the first by the plan, so many days before."""

    def first(told: Mapping[str, date], stages: Sequence[str]) -> date | None:
        return min((told[stage] for stage in stages if stage in told), default=None)

    days = []
    for one in found.sold:
        stages = [stage.stage for stage in one.stages]
        begun = min((found.begun[stage] for stage in stages if stage in found.begun), default=None)
        if begun is not None:
            days.append((begun, lambda told, stages=stages: first(told, stages)))
    return _stood(found, ahead, days)


def _stood(
    found: Replayed,
    ahead: int,
    days: Iterable[tuple[date, Callable[[Mapping[str, date]], date | None]]],
) -> float | None:
    evenings = sorted(found.published)
    at = {day: number for number, day in enumerate(evenings)}
    stood = told = 0
    for begun, planned_by in days:
        number = at[begun] - (ahead - 1)  # told the evening before the working day `number`
        planned = planned_by(found.published[evenings[number]]) if number >= 0 else None
        if planned is not None:
            told += 1
            stood += planned == begun
    return stood / told if told else None


def _moves(found: Replayed) -> int:
    moves = 0
    before: dict[str, date] = {}
    for day in sorted(found.published):
        now = found.published[day]
        moves += sum(
            stage in now and now[stage] != on and found.begun.get(stage, day) >= day
            for stage, on in before.items()
        )
        before = dict(now)
    return moves


def score(base: Branch, found: Replayed) -> Score:
    """Count up a log."""
    wage = {
        crew.crew: [person.cost_per_h for person in base.people if person.crew == crew.crew]
        for crew in base.crews
    }
    mean = {crew: sum(of) / max(len(of), 1) for crew, of in wage.items()}
    hours: dict[str, float] = defaultdict(float)
    cost: dict[str, float] = defaultdict(float)
    for entry in found.log:
        hours[entry.what] += entry.person_h
        cost[entry.what] += entry.person_h * mean[entry.crew]
    done = _job_days(found)
    late, late_cost, waited = [0], 0.0, 0
    for one in found.sold:
        job = one.job
        end = done[job.job][1] if job.job in done else found.last
        late.append(max(0, (end - job.due_on).days))
        waited += (end - one.known_on).days
        late_cost += _late_cost(job, late[-1])
    open_days = [(last - first).days for first, last in done.values()]
    trips = {(e.day, e.crew, e.stage) for e in found.log if e.what == "drive" and e.stage}
    roofs = {s.stage for one in found.sold for s in one.stages if s.kind == "roof"}
    return Score(
        policy=found.policy,
        lost_h=hours["lost"],
        stood_down_h=hours["stood down"],
        idle_h=hours["idle"],
        driven_h=hours["drive"],
        jobs_done=len(done),
        days_late=sum(late),
        worst_late_days=max(late),
        trips=len(trips),
        open_days=sum(open_days) / max(len(open_days), 1),
        lost_cost=cost["lost"] + STOOD_DOWN_PAID * cost["stood down"],
        driven_cost=cost["drive"],
        late_cost=late_cost,
        starts_kept=tuple(_kept(found, ahead) for ahead in NOTICE_DAYS),
        first_days_kept=tuple(_first_kept(found, ahead) for ahead in NOTICE_DAYS),
        moves_told=_moves(found),
        waited_days=waited,
        kept_evenings=found.kept_evenings,
        paid_cost=sum(of for what, of in cost.items() if what != "stood down"),
        roof_days=len({trip for trip in trips if trip[2] in roofs}),
    )
