"""From a branch and a job that is not sold yet to a day that can be promised."""

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.promise import NewJob, Promise, SkillOutlook
from crewplan.running.clock import Clock
from crewplan.running.new_job import Asked, new_job, with_new_job
from crewplan.scheduling.promising import promise, skill_outlook
from crewplan.takeoff import take_off_all


def promise_of(
    branch: Branch, clock: Clock, asked: Asked, *, seed: int = 0
) -> tuple[NewJob, Promise]:
    """The new job's rows, and by which day it is done.

    Raises:
        CannotAsk: see `new_job`.
    """
    today = local_day(branch.settings, clock.now)
    new = new_job(branch, asked, today)
    whole = with_new_job(branch, new)
    takeoffs = take_off_all(whole)
    hours = stage_hours_all(whole, takeoffs, today)
    return new, promise(whole, new, takeoffs, hours, clock.now, seed=seed)


def outlook_of(branch: Branch, clock: Clock, *, weeks: int = 12, seed: int = 0) -> SkillOutlook:
    """Hours wanted against hours there, by week and skill."""
    today = local_day(branch.settings, clock.now)
    hours = stage_hours_all(branch, take_off_all(branch), today)
    return skill_outlook(branch, hours, clock.now, weeks=weeks, seed=seed)
