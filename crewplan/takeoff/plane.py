"""Take-off of one roof plane."""

from crewplan.model.job_rows import Module, Plane, Racking
from crewplan.model.takeoff import PlaneTakeOff
from crewplan.model.waiting_rows import Authority
from crewplan.takeoff.array import KnownRafters, SeatedArray, seat_array
from crewplan.takeoff.rail import (
    RAILS,
    THERMAL_BREAK_MM,
    attachments_by_formula,
    module_along_row_mm,
    module_up_slope_mm,
    row_length_mm,
    spaces_per_span,
)
from crewplan.takeoff.seats import good_first_places_mm
from crewplan.takeoff.setbacks import ArraySize, SetBacks, check_setbacks

_ENDLESS_RAFTERS = 1_000_000
"""Stands for a plane whose right edge is not known."""


def take_off_plane(
    plane: Plane, module: Module, racking: Racking, authority: Authority | None
) -> PlaneTakeOff:
    """Counts of one plane, with the places of its attachments where the rafters are known.

    Rafters count as known where `first_rafter_mm` and `array_left_mm` are given. Else the formula's
    count stands, and a note says where the first rafter has to lie for it to be enough.
    """
    side = module_along_row_mm(module, plane)
    lengths = tuple(row_length_mm(count, side, racking) for count in plane.rows)
    height = len(plane.rows) * module_up_slope_mm(module, plane)
    height += (len(plane.rows) - 1) * racking.gap_mm
    setbacks = check_setbacks(plane, ArraySize(max(lengths), height), authority)
    problems, notes = [*setbacks.problems], [*setbacks.notes]
    if plane.racking not in ("", racking.racking):
        problems.append(
            f"plane {plane.plane}: no racking {plane.racking}, counted with {racking.racking}"
        )
    spaces = spaces_per_span(plane.rafter_spacing_mm, racking.max_span_mm)
    if spaces == 0:
        short = plane.rafter_spacing_mm - racking.max_span_mm
        problems.append(
            f"plane {plane.plane}: span of {racking.max_span_mm:g} mm is below the rafter spacing "
            f"by {short:.0f} mm"
        )
        spaces = 1
    spacing = spaces * plane.rafter_spacing_mm
    counts = [attachments_by_formula(length, spacing, racking.cantilever_mm) for length in lengths]
    array = _seated(plane, racking, lengths, spaces, setbacks)
    if array is None:
        notes.extend(_where_enough(plane, racking, lengths, spaces, counts))
    else:
        counts = [
            formula if seats is None else len(seats.places_mm)
            for formula, seats in zip(counts, array.rows, strict=True)
        ]
        problems.extend(_unseated(plane, racking, array))
    notes.extend(
        f"plane {plane.plane}: row {number} is {length:.0f} mm long and needs a thermal break "
        f"every {THERMAL_BREAK_MM:.0f} mm"
        for number, length in enumerate(lengths, 1)
        if length > THERMAL_BREAK_MM
    )
    return PlaneTakeOff(
        plane=plane.plane,
        modules=sum(plane.rows),
        row_lengths_mm=lengths,
        attachment_spacing_mm=spacing,
        attachments_per_rail=tuple(counts),
        attachments=RAILS * sum(counts),
        rail_mm=RAILS * sum(lengths),
        seats_mm=tuple(seats.places_mm if seats else () for seats in array.rows) if array else (),
        shift_mm=array.shift_mm if array else 0.0,
        notes=tuple(notes),
        problems=tuple(problems),
    )


def _seated(
    plane: Plane,
    racking: Racking,
    lengths_mm: tuple[float, ...],
    spaces: int,
    setbacks: SetBacks,
) -> SeatedArray | None:
    first, left, width = plane.first_rafter_mm, plane.array_left_mm, plane.width_mm
    if first is None or left is None:
        return None
    pitch = plane.rafter_spacing_mm
    count = _ENDLESS_RAFTERS if width is None else max(0, int((width - first) // pitch) + 1)
    return seat_array(
        lengths_mm,
        KnownRafters(left, first, pitch, count),
        spaces,
        racking.cantilever_mm,
        (
            -min(racking.tolerance_mm, setbacks.free_left_mm),
            min(racking.tolerance_mm, setbacks.free_right_mm),
        ),
    )


def _unseated(plane: Plane, racking: Racking, array: SeatedArray) -> list[str]:
    """Rows that no choice of rafters holds, even shifted."""
    problems = []
    for number, seats in enumerate(array.rows, 1):
        if seats is None:
            problems.append(
                f"plane {plane.plane}: row {number} has fewer than two rafters under it"
            )
        elif seats.excess_mm > 0:
            problems.append(
                f"plane {plane.plane}: row {number} is over the cantilever of "
                f"{racking.cantilever_mm:g} mm by {seats.excess_mm:.0f} mm on these rafters"
            )
    return problems


def _where_enough(
    plane: Plane,
    racking: Racking,
    lengths_mm: tuple[float, ...],
    spaces: int,
    counts: list[int],
) -> list[str]:
    """One note for each length of row whose count depends on where the rafters turn out to be."""
    notes = []
    pitch = plane.rafter_spacing_mm
    for length, count in dict(zip(lengths_mm, counts, strict=True)).items():
        ranges = good_first_places_mm(length, pitch, spaces, racking.cantilever_mm, count)
        row = f"plane {plane.plane}: rafters not measured; rows of {length:.0f} mm"
        if not ranges:
            notes.append(
                f"{row} keep the cantilever of {racking.cantilever_mm:g} mm nowhere on rafters "
                f"every {pitch:g} mm"
            )
        elif max(high - low for low, high in ranges) < pitch:
            places = " or ".join(f"{low:.0f} to {high:.0f} mm" for low, high in ranges)
            notes.append(
                f"{row} take {count} attachments a rail where a rafter lies {places} from the "
                "rail's left end; elsewhere more, or the cantilever cannot be kept"
            )
    return notes
