"""The word for a day: a window makes it go, and only a window."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from crewplan.model.verdict import HourVerdict, Verdict, Window
from crewplan.weather.series import Series
from crewplan.weather.windows import OpenHour, Run, windows


@dataclass(frozen=True, slots=True)
class ShiftDay:
    """A day's hours: columns of a `Series`, and what of each lies in the shift and after now."""

    first: int
    past: int
    """Column after the last."""
    spans_s: tuple[tuple[float, float], ...]
    """Seconds since 1970-01-01 UTC; an end not after its start: nothing is left."""

    @property
    def left(self) -> bool:
        """Whether any of the shift still lies ahead."""
        return any(start < end for start, end in self.spans_s)


@dataclass(frozen=True, slots=True)
class DayAnswer:
    """Word, windows and hours of one day."""

    verdict: Verdict
    windows: tuple[Window, ...]
    hours: tuple[HourVerdict, ...]
    used: tuple[int, ...]
    """Columns that the word rests on: those of the windows, else all that are left, else all."""


def _hours(day: ShiftDay, usable: Sequence[bool], bits: Sequence[int]) -> list[OpenHour]:
    return [
        OpenHour(start, end, usable[at], bits[day.first + at])
        for at, (start, end) in enumerate(day.spans_s)
    ]


def _window(day: ShiftDay, run: Run, tz: tzinfo) -> Window:
    start, end = day.spans_s[run.first][0], day.spans_s[run.last][1]
    return Window(datetime.fromtimestamp(start, tz), datetime.fromtimestamp(end, tz), run.share)


def day_answer(
    told: Series, day: ShiftDay, tz: tzinfo, *, least: float, needed_h: float
) -> DayAnswer:
    """Go where a window of the needed length lies ahead; no-go where none could; else unknown.

    'None could' means: not even if every unknown hour were good, in every row that may be.
    """
    hours = told.hours[day.first : day.past]
    go = _hours(day, [hour.verdict == "go" for hour in hours], told.good)
    runs = windows(go, told.rows, least, needed_h * 3600)
    if runs:
        at = [column for run in runs for column in range(run.first, run.last + 1)]
        found = tuple(_window(day, run, tz) for run in runs)
        return DayAnswer("go", found, hours, tuple(day.first + column for column in at))
    may = _hours(day, [hour.verdict != "no-go" for hour in hours], told.hopeful)
    verdict: Verdict = "unknown" if windows(may, told.rows, least, needed_h * 3600) else "no-go"
    ahead = [at for at, (start, end) in enumerate(day.spans_s) if start < end]
    used = tuple(day.first + at for at in ahead or range(len(hours)))
    return DayAnswer(verdict, (), hours, used)
