"""Whether an array keeps clear of ridge and edges as its authority asks."""

from dataclasses import dataclass

from crewplan.model.job_rows import Plane
from crewplan.model.waiting_rows import Authority

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class ArraySize:
    """The array with the ends of its rails."""

    left_mm: float
    """From where the array is placed to its leftmost rail; 0 but where every row is set in."""
    width_mm: float
    """Along the eave, from the leftmost rail to the rightmost."""
    height_mm: float
    """Up the slope: all rows and the gaps between."""


@dataclass(frozen=True, slots=True)
class SetBacks:
    """What is broken, what could not be checked, and how far the array may still be shifted."""

    problems: tuple[str, ...]
    notes: tuple[str, ...]
    shift_range_mm: tuple[float, float]
    """Least and most shift to the right that keeps the edges' set-backs within the tolerance; both
    0 where none does."""


def check_setbacks(
    plane: Plane, array: ArraySize, authority: Authority | None, tolerance_mm: float
) -> SetBacks:
    """Each side on its own; a side whose measures are missing is not checked, and is noted.

    An edge's set-back is broken where no shift within the tolerance keeps it; the shortfall is that
    of the array as it was drawn.
    Without `array_left_mm` the array may lie anywhere between the edges; without `array_up_mm` it
    is taken to begin at the eave. Without an authority's row the plane's own edges still hold.
    """
    edge = authority.edge_setback_mm if authority else 0.0
    ridge = authority.ridge_setback_mm if authority else 0.0
    left, width = plane.array_left_mm, plane.width_mm
    free_left = free_right = float("inf")
    shortfalls: list[tuple[str, float, float]] = []
    if left is None:
        if width is not None:
            room = width - 2 * edge - array.width_mm
            shortfalls.append(("edge set-backs", edge, -room))
    else:
        free_left = left + array.left_mm - edge
        if width is not None:
            free_right = width - edge - left - array.left_mm - array.width_mm
    low, high = max(-tolerance_mm, -free_left), min(tolerance_mm, free_right)
    if low > high + _ROUNDING_MM:
        low = high = 0.0
        shortfalls.append(("edge set-back on the left", edge, -free_left))
        shortfalls.append(("edge set-back on the right", edge, -free_right))
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
        (low, max(low, high)),
    )
