"""Which wind limits stand for an exposure, so that they can be drawn."""

from crewplan.model.work_rows import Exposure
from crewplan.running.board_view import BoardView
from dashboard.figures.wind_by_hour import WindLimit


def wind_limit(view: BoardView, exposure: Exposure) -> WindLimit:
    """The lowest stop limits on gust and mean wind that the exposure obeys."""
    rows = [row for row in view.limits.get(exposure, ()) if row.effect == "stop"]

    def lowest(measure: str) -> float | None:
        values = [r.at_most for r in rows if r.measure == measure and r.at_most is not None]
        return min(values, default=None)

    return WindLimit(lowest("gust"), lowest("wind"))
