"""Marks on the roof: offsets from a chalk line along the eave and one square to it."""

import math

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Module, Plane, Racking
from crewplan.model.marks import PlaneMarks, RowMarks, SquareCheck
from crewplan.model.takeoff import JobTakeOff, PlaneTakeOff
from crewplan.takeoff.rail import module_along_row_mm, module_up_slope_mm

RAIL_PLACES = (0.25, 0.75)
"""Where the rails cross a module, as shares of its side up the slope. Common practice, no source;
the module maker's clamping zones come first."""
SQUARE_TOLERANCE_MM = 6.0
"""Most that the two diagonals may differ by: a quarter of an inch. Common practice, no source."""
_ROUNDING_MM = 1e-6


def square_check(along_mm: float, up_mm: float) -> SquareCheck:
    """Diagonal of a rectangle, sqrt(a^2 + b^2), and what the tolerance on it lets through.

    The diagonals of a rectangle whose top is pushed sideways by d are sqrt((a +- d)^2 + b^2): they
    differ by 2 a d / diagonal, to first order.
    """
    diagonal = math.hypot(along_mm, up_mm)
    drift = SQUARE_TOLERANCE_MM * diagonal / (2 * along_mm)
    return SquareCheck(along_mm, up_mm, diagonal, SQUARE_TOLERANCE_MM, drift)


def plane_marks(
    plane: Plane, module: Module, racking: Racking, counted: PlaneTakeOff
) -> PlaneMarks:
    """Marks of one plane from its take-off; what its tables do not say stands in `notes`."""
    rows = _rows(plane, module, racking, counted)
    array_up = rows[-1].up_mm + rows[-1].module_up_mm
    left = plane.array_left_mm
    line_b = None if left is None else left + counted.shift_mm
    return PlaneMarks(
        plane=plane.plane,
        rows=rows,
        array_along_mm=max(counted.row_lengths_mm),
        array_up_mm=array_up,
        line_a_up_mm=plane.array_up_mm,
        line_b_along_mm=line_b,
        shift_mm=counted.shift_mm,
        width_mm=plane.width_mm,
        slope_mm=plane.slope_mm,
        rafter_spacing_mm=plane.rafter_spacing_mm,
        rafters_mm=_rafters(plane, line_b, max(counted.row_lengths_mm)),
        square=square_check(min(counted.row_lengths_mm), array_up),
        notes=_notes(plane, rows, line_b),
    )


def job_marks(branch: Branch, takeoff: JobTakeOff) -> tuple[PlaneMarks, ...]:
    """Marks of every plane of a job, in the table's order."""
    modules = {row.module: row for row in branch.modules}
    racking = {row.racking: row for row in branch.racking}
    counted = {plane.plane: plane for plane in takeoff.planes}
    return tuple(
        plane_marks(
            plane,
            modules[plane.module],
            racking.get(plane.racking, branch.racking[0]),
            counted[plane.plane],
        )
        for plane in branch.planes
        if plane.job == takeoff.job
    )


def _rows(
    plane: Plane, module: Module, racking: Racking, counted: PlaneTakeOff
) -> tuple[RowMarks, ...]:
    along, up = module_along_row_mm(module, plane), module_up_slope_mm(module, plane)
    seats = counted.seats_mm or ((),) * len(plane.rows)
    found = []
    for place, modules in enumerate(plane.rows):
        low = place * (up + racking.gap_mm)
        found.append(
            RowMarks(
                row=place + 1,
                modules=modules,
                up_mm=low,
                module_along_mm=along,
                module_up_mm=up,
                gap_mm=racking.gap_mm,
                overhang_mm=racking.overhang_mm,
                length_mm=counted.row_lengths_mm[place],
                rails_up_mm=(low + RAIL_PLACES[0] * up, low + RAIL_PLACES[1] * up),
                seats_mm=seats[place],
                attachments_per_rail=counted.attachments_per_rail[place],
            )
        )
    return tuple(found)


def _rafters(plane: Plane, line_b_mm: float | None, array_mm: float) -> tuple[float, ...]:
    """To the plane's right edge; where that is not known, to the first one beyond the array."""
    if plane.first_rafter_mm is None or line_b_mm is None:
        return ()
    first, pitch = plane.first_rafter_mm, plane.rafter_spacing_mm
    if plane.width_mm is not None:
        count = math.floor((plane.width_mm - first) / pitch + _ROUNDING_MM) + 1
    else:
        count = math.ceil((line_b_mm + array_mm - first) / pitch - _ROUNDING_MM) + 1
    return tuple(first - line_b_mm + number * pitch for number in range(max(0, count)))


def _notes(plane: Plane, rows: tuple[RowMarks, ...], line_b_mm: float | None) -> tuple[str, ...]:
    notes = []
    if plane.array_up_mm is None:
        notes.append("from the eave to line A: not stated, measure and agree it on site")
    if line_b_mm is None:
        notes.append(
            "from the plane's left edge to line B: not stated, measure and agree it on site"
        )
    if plane.width_mm is None or plane.slope_mm is None:
        notes.append("the plane's own size is not known: its edges are not drawn in full")
    unseated = [row for row in rows if not row.seats_mm]
    if plane.first_rafter_mm is None or line_b_mm is None:
        notes.append(
            "rafters not measured: attachments are counted only, and their places are not drawn;"
            " find the rafters first, and set every attachment on one"
        )
    elif unseated:
        told = ", ".join(str(row.row) for row in unseated)
        notes.append(f"no places for the attachments of row {told}: too few rafters below")
    return tuple(notes)
