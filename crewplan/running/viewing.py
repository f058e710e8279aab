"""One look at a branch for the board: plan it, and ask the gate for each crew's next day."""

from datetime import UTC, date, datetime, timedelta

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.hours_so_far import hours_so_far
from crewplan.model.verdict import DayVerdict
from crewplan.model.weather_table import NO_TIME_S
from crewplan.model.work_rows import EXPOSURES
from crewplan.running.board_view import BoardView, SameHours
from crewplan.running.clock import Clock
from crewplan.running.gating import site_of
from crewplan.running.watching import NOBODY, Watch
from crewplan.running.week import GAP, Week, plan_week
from crewplan.scheduling import EngineChoice, Stop
from crewplan.scheduling.lent_days import lent_days
from crewplan.weather import effective_limits
from crewplan.weather.forecast import PLANNING_MAX_AGE_H
from crewplan.weather.gate import verdicts
from crewplan.weather.site import Site


def verdicts_of_day(week: Week, day: date) -> tuple[DayVerdict, ...]:
    """For the branch's own place and each stage that the plan has on the day: one an exposure."""
    branch, horizon = week.branch, week.plan.horizon
    jobs = {job.job: job for job in branch.jobs}
    sites: list[Site | None] = [None]
    for planned in week.plan.planned:
        placement = planned.placement
        if any(horizon.day_of(cell) == day for cell in placement.cells):
            job = jobs[planned.job]
            away, crew = placement.lent_away, placement.crew
            sites.append(site_of(branch, week.hours, job, placement.stage, crew, day, away))
    return tuple(verdicts(branch, [day], week.clock.now, sites, clock=week.clock.kind))


def chances_void_after(branch: Branch, clock: Clock) -> datetime | None:
    """When the oldest issue of the forecast ahead is too old to plan by; None without any."""
    weather = branch.weather
    ahead = weather.issued_s[
        (weather.valid_s >= clock.now.timestamp()) & (weather.issued_s != NO_TIME_S)
    ]
    if len(ahead) == 0:
        return None
    oldest = datetime.fromtimestamp(int(ahead.min()), UTC)
    return (oldest + timedelta(hours=PLANNING_MAX_AGE_H)).astimezone(zone(branch.settings))


def board_view(
    branch: Branch,
    clock: Clock,
    *,
    engine: EngineChoice = "auto",
    seconds: float = 10,
    version: int = 0,
    gap: float = GAP,
    watch: Watch = NOBODY,
) -> BoardView:
    """Plan the next ten working days and judge the first of them.

    With a `version`, of a database, the week may be published as it stands on the board.
    """
    stop = Stop(seconds=seconds, gap=gap)
    week = plan_week(branch, clock, engine=engine, stop=stop, publishing=version > 0, watch=watch)
    day = week.plan.horizon.days[0]
    limits = effective_limits(branch.package_limits, branch.limits)
    return BoardView(
        branch=branch,
        plan=week.plan,
        gate_day=day,
        verdicts=verdicts_of_day(week, day),
        limits={exposure: limits.rows[exposure] for exposure in EXPOSURES},
        takeoffs=week.takeoffs,
        hours=week.hours,
        asked_at=clock.now.astimezone(zone(branch.settings)),
        clock=clock.kind,
        chances_void_after=chances_void_after(branch, clock),
        lent=lent_days(branch.people, week.plan),
        warnings=branch.warnings,
        version=version,
        worked=SameHours(hours_so_far(branch.hours_worked)),
    )
