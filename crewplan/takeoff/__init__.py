"""Roof and array in; attachments, rails, clamps, leads and the drivers of hours out."""

from crewplan.takeoff.job import take_off, take_off_all
from crewplan.takeoff.words import DRIVERS, TAKEOFF_ITEMS, words_used

__all__ = ["DRIVERS", "TAKEOFF_ITEMS", "take_off", "take_off_all", "words_used"]
