"""Where things go on a roof plane, measured from two chalk lines.

Line A runs along the eave at the array's lower edge, line B square to it up the slope at the
array's left edge, where the rails of a row that is not set in begin. `along_mm` counts to the right
of B, `up_mm` up the slope from A, seen from outside with the eave below.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RunMarks:
    """Modules on rails of their own; a row has several where thermal breaks part it."""

    left_mm: float
    """From line B to its rails' left ends."""
    length_mm: float
    """Of each of its rails."""
    modules: int


@dataclass(frozen=True, slots=True)
class RowMarks:
    """One row of modules on its two rails."""

    row: int
    """1 next to the eave."""
    modules: int
    up_mm: float
    """Lower edge of its modules."""
    module_along_mm: float
    module_up_mm: float
    gap_mm: float
    overhang_mm: float
    """From a run's left end to its first module's edge."""
    left_mm: float
    """From line B to its rails' left ends."""
    length_mm: float
    """From there to its rails' right ends."""
    runs: tuple[RunMarks, ...]
    rails_up_mm: tuple[float, float]
    """Lower and upper rail."""
    seats_mm: tuple[float, ...]
    """Attachments of the lower rail, along; empty: not known where."""
    upper_seats_mm: tuple[float, ...]
    """Of the upper rail; the same where they are not staggered."""
    splices_mm: tuple[float, ...]
    """Of the lower rail, along; empty: none, or not known where."""
    upper_splices_mm: tuple[float, ...]
    attachments: int
    """Of both rails."""

    @property
    def rails(self) -> tuple[tuple[float, tuple[float, ...], tuple[float, ...]], ...]:
        """Lower and upper rail: up, attachments along, splices along."""
        low, high = self.rails_up_mm
        return (
            (low, self.seats_mm, self.splices_mm),
            (high, self.upper_seats_mm, self.upper_splices_mm),
        )

    @property
    def modules_along_mm(self) -> tuple[float, ...]:
        """Left edge of each module."""
        step = self.module_along_mm + self.gap_mm
        return tuple(
            run.left_mm + self.overhang_mm + number * step
            for run in self.runs
            for number in range(run.modules)
        )


@dataclass(frozen=True, slots=True)
class SquareCheck:
    """A rectangle under the array; it is square where both of its diagonals are alike."""

    along_mm: float
    up_mm: float
    diagonal_mm: float
    tolerance_mm: float
    """Most that the two diagonals may differ by."""
    drift_mm: float
    """How far the top is pushed sideways where they differ by that."""


@dataclass(frozen=True, slots=True)
class PlaneMarks:
    """All marks of one plane."""

    plane: str
    rows: tuple[RowMarks, ...]
    array_along_mm: float
    """From line B to the rightmost rail's end."""
    array_up_mm: float
    line_a_up_mm: float | None
    """From the eave to line A; None: not stated."""
    line_b_along_mm: float | None
    """From the plane's left edge to line B, the array's shift included; None: not stated."""
    shift_mm: float
    """How far the array was moved to the right to save penetrations, which line B has in it."""
    width_mm: float | None
    """Of the plane along the eave."""
    slope_mm: float | None
    """Of the plane from eave to ridge."""
    rafter_spacing_mm: float
    rafters_mm: tuple[float, ...]
    """Centres, along, from the first rafter of the plane on; empty: not known where."""
    square: SquareCheck
    notes: tuple[str, ...] = ()
    """What is not known, in words."""
