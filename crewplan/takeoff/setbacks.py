"""Whether an array keeps clear of ridge and edges as its authority asks."""

from dataclasses import dataclass

from crewplan.model.job_rows import Plane
from crewplan.model.waiting_rows import Authority

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class ArraySize:
    """The array with the ends of its rails."""

    width_mm: float
    """Along the eave: the longest row."""
    height_mm: float
    """Up the slope: all rows and the gaps between."""


@dataclass(frozen=True, slots=True)
class SetBacks:
    """What is broken, what could not be checked, and how far the array may still be shifted."""

    problems: tuple[str, ...]
    notes: tuple[str, ...]
    free_left_mm: float
    free_right_mm: float
    """Infinite where the plane's width is not known."""


def check_setbacks(plane: Plane, array: ArraySize, authority: Authority | None) -> SetBacks:
    """Each side on its own; a side whose measures are missing is not checked, and is noted.

    Without `array_left_mm` the array may lie anywhere between the edges; without `array_up_mm` it
    is taken to begin at the eave. Without an authority's row the plane's own edges still hold.
    """
    edge = authority.edge_setback_mm if authority else 0.0
    ridge = authority.ridge_setback_mm if authority else 0.0
    left, width = plane.array_left_mm, plane.width_mm
    free_left = float("inf") if left is None else left - edge
    free_right = float("inf") if width is None else width - edge - array.width_mm - (left or 0.0)
    shortfalls: list[tuple[str, float, float]] = []
    if left is not None:
        shortfalls.append(("edge set-back on the left", edge, -free_left))
    if width is not None:
        side = "edge set-backs" if left is None else "edge set-back on the right"
        shortfalls.append((side, edge, -(free_right - (edge if left is None else 0.0))))
    if plane.slope_mm is not None:
        used = (plane.array_up_mm or 0.0) + array.height_mm
        shortfalls.append(("ridge set-back", ridge, used + ridge - plane.slope_mm))
    said = f" ({authority.authority})" if authority else ""
    missing = [
        name for name, value in (("width_mm", width), ("slope_mm", plane.slope_mm)) if value is None
    ]
    return SetBacks(
        tuple(
            f"plane {plane.plane}: {rule} of {asked:g} mm{said} broken by {short:.0f} mm"
            for rule, asked, short in shortfalls
            if short > _ROUNDING_MM
        ),
        (f"plane {plane.plane}: {' and '.join(missing)} not known, set-backs not checked",)
        if missing
        else (),
        max(0.0, free_left),
        max(0.0, free_right),
    )
