"""What a reading shuts, in words, whatever day the board shows."""

from datetime import timedelta

from crewplan.model.calendar import zone
from crewplan.model.reading import Reading
from crewplan.model.work_rows import EXPOSURES
from crewplan.running.board_view import BoardView
from crewplan.weather.readings import breach_words, over
from dashboard.entries.desk import limits_of


def no_go_words(view: BoardView, reading: Reading) -> str:
    """'NO-GO for lift and roof: measured on ...'; empty where it is over no limit."""
    limits, wait = limits_of(view), timedelta(hours=view.branch.settings.reading_wait_h)
    breaks = {name: found for name in EXPOSURES if (found := over(reading, limits, name, wait))}
    if not breaks:
        return ""
    highest = next(name for name in reversed(EXPOSURES) if name in breaks)
    words = breach_words(breaks[highest][0], zone(view.branch.settings))
    return f"NO-GO for {' and '.join(reversed(breaks))}: {words}."
