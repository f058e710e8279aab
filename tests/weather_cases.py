"""Forecasts for tests of the gate: calm ones, and random ones full of trouble."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from builders import NOW, branch, package_limits, settings, weather

from crewplan.model.branch import Branch

HOUR = timedelta(hours=1)
DULUTH = (46.8, -92.1)
CALM = {
    "wind_mps": 3.0,
    "gust_mps": 5.0,
    "rain_mm": 0.0,
    "temperature_c": 12.0,
    "humidity_pct": 55.0,
    "thunder": 0.0,
    "latitude": DULUTH[0],
    "longitude": DULUTH[1],
}
"""Good for every exposure by day, and far enough from each limit for one forecast to be a go."""
MONDAY_7 = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
"""Seven o'clock in Chicago, start of the shift on the day after `NOW`."""


def calm_rows(
    members: int = 10, *, first: datetime = MONDAY_7 - 2 * HOUR, hours: int = 12, **changes: Any
) -> list[dict[str, Any]]:
    """Hourly rows of every member from `first` on, issued at `NOW`."""
    return [
        CALM | {"valid_at": first + at * HOUR, "issued_at": NOW, "member": str(member)} | changes
        for member in range(members)
        for at in range(hours)
    ]


def gate_branch(rows: list[dict[str, Any]], **changes: Any) -> Branch:
    """A branch with the package's limits; settings by `settings__` names, tables by their own."""
    mark = "settings__"
    own = {name[len(mark) :]: value for name, value in changes.items() if name.startswith(mark)}
    tables = {name: value for name, value in changes.items() if not name.startswith(mark)}
    return branch(
        **(
            {
                "weather": weather(rows),
                "package_limits": package_limits(),
                "settings": settings(**own),
            }
            | tables
        )
    )


_NEAR = {
    "wind_mps": (2.0, 5.0, 7.0, 7.59968, 8.0, 10.0, 12.0),
    "gust_mps": (4.0, 8.0, 11.0, 11.62304, 12.5, 15.0, 17.0, 21.0),
    "rain_mm": (0.0, 0.0, 0.0, 0.0, 0.05, 0.1, 0.25, 0.3, 1.0),
    "temperature_c": (-12.0, 2.0, 4.0, 8.0, 15.0, 25.0, 35.0),
    "humidity_pct": (30.0, 60.0, 95.0),
    "thunder": (0.0,) * 19 + (1.0,),
}
"""Values on both sides of the package's limits, and on them."""


def troubled_rows(
    seed: int,
    members: int,
    *,
    first: datetime = MONDAY_7 - 3 * HOUR,
    hours: int = 14,
    now: datetime = NOW,
    trouble: float = 0.004,
) -> list[dict[str, Any]]:
    """Random rows: lengths of a quarter to six hours, offsets, gaps, empty cells, odd issues.

    Some tables are nearly whole and quiet, so that goes come up as often as no-goes.
    """
    rng = np.random.default_rng(seed)
    length = rng.choice([0.25, 0.5, 1.0, 1.0, 1.0, 1.0, 3.0, 6.0])
    offset_h = rng.choice([0.0, 0.0, 0.0, 0.25, 0.5])
    amiss = float(rng.choice([0.0, 0.0, trouble, 10 * trouble]))
    quiet = float(rng.choice([0.0, 0.02, 0.1, 0.5]))
    steps = int(np.ceil((hours + 1) / length))
    shared = {
        name: [value if rng.random() < quiet else CALM[name] for value in rng.choice(near, steps)]
        for name, near in _NEAR.items()
    }
    rows = []
    for member in range(members):
        for step in range(steps):
            if rng.random() < amiss:
                continue
            row = CALM | {
                "valid_at": first + (offset_h - 1 + step * length) * HOUR,
                "hours": length,
                "issued_at": now - int(rng.integers(0, 5)) * HOUR,
                "member": str(member),
            }
            for name, near in _NEAR.items():
                row[name] = shared[name][step]
                if rng.random() < quiet / 4:
                    row[name] = float(rng.choice(near))
                if rng.random() < amiss:
                    row[name] = None
            if rng.random() < amiss:
                odd = [None, now - 13 * HOUR, now - 12 * HOUR, now + HOUR]
                row["issued_at"] = odd[int(rng.integers(0, 4))]
            rows.append(row)
    rng.shuffle(rows)  # type: ignore[arg-type]
    return rows
