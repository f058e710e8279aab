"""Marks on the roof: offsets from a chalk line along the eave and one square to it."""

import math
from collections.abc import Callable

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Module, Plane, Racking
from crewplan.model.marks import PlaneMarks, RowMarks, RunMarks, SquareCheck
from crewplan.model.takeoff import JobTakeOff, PlaneTakeOff, Rail, RailPlace
from crewplan.takeoff.rows import ArrayRow, array_rows

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
    array_along = max(row.left_mm + row.length_mm for row in rows)
    left = plane.array_left_mm
    line_b = None if left is None else left + counted.shift_mm
    return PlaneMarks(
        plane=plane.plane,
        rows=rows,
        array_along_mm=array_along,
        array_up_mm=array_up,
        line_a_up_mm=plane.array_up_mm,
        line_b_along_mm=line_b,
        shift_mm=counted.shift_mm,
        width_mm=plane.width_mm,
        slope_mm=plane.slope_mm,
        rafter_spacing_mm=plane.rafter_spacing_mm,
        rafters_mm=_rafters(plane, line_b, array_along),
        square=square_check(min(row.left_mm + row.length_mm for row in rows), array_up),
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
    return tuple(_row(row, racking, counted) for row in array_rows(plane, module, racking))


def _row(row: ArrayRow, racking: Racking, counted: PlaneTakeOff) -> RowMarks:
    own = [rail for rail in counted.rails if rail.row == row.number]
    known = all(rail.seats_mm for rail in own)

    def along(place: RailPlace, of: Callable[[Rail], tuple[float, ...]]) -> tuple[float, ...]:
        """Of all rails of one place; nothing where any of the row's rails has no seats."""
        if not known:
            return ()
        return tuple(rail.left_mm + at for rail in own if rail.place == place for at in of(rail))

    def seats(rail: Rail) -> tuple[float, ...]:
        return rail.seats_mm

    def splices(rail: Rail) -> tuple[float, ...]:
        return rail.splices_mm

    low, high = (row.low_mm + share * row.up_mm for share in RAIL_PLACES)
    return RowMarks(
        row=row.number,
        modules=sum(run.modules for run in row.runs),
        up_mm=row.low_mm,
        module_along_mm=row.along_mm,
        module_up_mm=row.up_mm,
        gap_mm=racking.gap_mm,
        overhang_mm=racking.overhang_mm,
        left_mm=row.left_mm,
        length_mm=row.length_mm,
        runs=tuple(RunMarks(run.left_mm, run.length_mm, run.modules) for run in row.runs),
        rails_up_mm=(low, high),
        seats_mm=along("lower", seats),
        upper_seats_mm=along("upper", seats),
        splices_mm=along("lower", splices),
        upper_splices_mm=along("upper", splices),
        attachments=sum(rail.attachments for rail in own),
    )


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
    if plane.covering == "metal":
        notes.append(
            "metal, taken as standing seam (assumed): the rafters told and drawn here stand for"
            " seams; where there are none, ask before anybody drills"
        )
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
