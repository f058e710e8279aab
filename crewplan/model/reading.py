"""Wind measured by hand on a site."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Where = Literal["roof", "ground"]


@dataclass(frozen=True, slots=True)
class Reading:
    """What a crew's own instrument showed."""

    at: datetime
    """When it was taken, with offset."""
    where: Where
    stage: str
    job: str
    crew: str
    mean_mps: float | None
    """Mean as the instrument shows it; None: not read."""
    gust_mps: float | None
    """Highest value shown; None: not read."""
    by: str
