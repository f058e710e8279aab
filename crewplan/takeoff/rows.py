"""Rows of an array as they lie on the plane: which way modules lie, where runs of rail end."""

import math
from dataclasses import dataclass

from crewplan.model.job_rows import Module, Orientation, Plane, Racking
from crewplan.takeoff.rail import row_length_mm

BREAK_GAP_MM = 25.0
"""Between two runs of rail at a thermal break: an inch. Common practice, no source."""
_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Run:
    """Modules of a row on rails of their own: no module crosses from one run to the next."""

    left_mm: float
    """From the array's left edge to the rails' left ends."""
    length_mm: float
    modules: int

    @property
    def right_mm(self) -> float:
        """The rails' right ends."""
        return self.left_mm + self.length_mm


@dataclass(frozen=True, slots=True)
class ArrayRow:
    """One row of modules on two rails a run."""

    number: int
    """1 next to the eave."""
    along_mm: float
    """Side of a module along the eave."""
    up_mm: float
    """Side of a module up the slope."""
    low_mm: float
    """From the array's lower edge to the row's."""
    runs: tuple[Run, ...]

    @property
    def left_mm(self) -> float:
        """From the array's left edge to the row's rails."""
        return self.runs[0].left_mm

    @property
    def length_mm(self) -> float:
        """From the first rail's left end to the last one's right."""
        return self.runs[-1].right_mm - self.left_mm


def array_rows(plane: Plane, module: Module, racking: Racking) -> tuple[ArrayRow, ...]:
    """Rows from the eave up, each above the one before with the racking's gap between."""
    rows: list[ArrayRow] = []
    low = 0.0
    for place, modules in enumerate(plane.rows):
        along, up = sides_mm(module, orientation_of(plane, place))
        left = float(plane.row_left_mm[place]) if place < len(plane.row_left_mm) else 0.0
        runs = _runs(modules, along, left, racking)
        rows.append(ArrayRow(place + 1, along, up, low, runs))
        low += up + racking.gap_mm
    return tuple(rows)


def orientation_of(plane: Plane, place: int) -> Orientation:
    """How the modules of the row at a place (0: at the eave) lie."""
    if place < len(plane.row_orientations):
        return plane.row_orientations[place]
    return plane.orientation


def sides_mm(module: Module, orientation: Orientation) -> tuple[float, float]:
    """Sides of a module along the eave and up the slope."""
    if orientation == "portrait":
        return module.width_mm, module.height_mm
    return module.height_mm, module.width_mm


def break_shortfall_mm(row: ArrayRow, racking: Racking) -> float:
    """How far the row's longest run is over the longest that needs no thermal break; 0: none."""
    if racking.break_every_mm is None:
        return 0.0
    over = max(run.length_mm for run in row.runs) - racking.break_every_mm
    return over if over > _ROUNDING_MM else 0.0


def _runs(modules: int, along_mm: float, left_mm: float, racking: Racking) -> tuple[Run, ...]:
    """As few runs as the stated length allows, as even as whole modules allow, longest first."""
    count = 1
    if racking.break_every_mm is not None:
        room = racking.break_every_mm - 2 * racking.overhang_mm + racking.gap_mm + _ROUNDING_MM
        count = math.ceil(modules / max(1, math.floor(room / (along_mm + racking.gap_mm))))
    runs: list[Run] = []
    for number in range(count):
        share = modules // count + (1 if number < modules % count else 0)
        start = runs[-1].right_mm + BREAK_GAP_MM if runs else left_mm
        runs.append(Run(start, row_length_mm(share, along_mm, racking), share))
    return tuple(runs)
