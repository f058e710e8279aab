"""From a branch to what its hours say about its rates, and how its forecasts held."""

from crewplan.labour import calibrate, learn
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.learned import Calibration, LearnedRates
from crewplan.running.clock import Clock
from crewplan.takeoff import take_off_all


def learned_rates(branch: Branch, clock: Clock) -> LearnedRates:
    """Hours and progress up to the end of today."""
    return learn(branch, take_off_all(branch), local_day(branch.settings, clock.now))


def calibration(branch: Branch, clock: Clock) -> Calibration:
    """Stages finished by the end of today."""
    return calibrate(branch, take_off_all(branch), local_day(branch.settings, clock.now))
