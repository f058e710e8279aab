"""The half-days that a plan covers."""

from dataclasses import dataclass
from datetime import date

from crewplan.model.plan_row import Half


@dataclass(frozen=True, slots=True)
class Horizon:
    """Working days of the branch, in order; a cell is a half-day: 2 x day index + (0 am, 1 pm)."""

    days: tuple[date, ...]
    frozen: frozenset[date]
    """Days that a published plan keeps; empty without a plan table."""

    @property
    def cells(self) -> range:
        """All half-days in order."""
        return range(2 * len(self.days))

    def day_of(self, cell: int) -> date:
        """The day of a half-day."""
        return self.days[cell // 2]

    def half_of(self, cell: int) -> Half:
        """am or pm."""
        return "pm" if cell % 2 else "am"

    def cell(self, day: date, half: Half) -> int | None:
        """The half-day's index, or None outside the horizon."""
        if day not in self.days:
            return None
        return 2 * self.days.index(day) + (half == "pm")
