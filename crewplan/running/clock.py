"""The one place where the program asks what time it is."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from crewplan.model.settings import Settings

NOT_FOR_WORK = "clock set by hand: not for work"

ClockKind = Literal["now", "set by hand"]


@dataclass(frozen=True, slots=True)
class Clock:
    """An instant, and whether it is the real one."""

    now: datetime
    kind: ClockKind

    @property
    def mark(self) -> str:
        """What every verdict, page and sheet must carry; empty for the real clock."""
        return NOT_FOR_WORK if self.kind == "set by hand" else ""


def read_clock(settings: Settings, by_hand: datetime | None = None) -> Clock:
    """`--now` first, then the demo's clock, then the machine's."""
    if by_hand is not None:
        return Clock(by_hand, "set by hand")
    if settings.demo is not None:
        return Clock(settings.demo.now, "set by hand")
    return Clock(datetime.now(UTC), "now")
