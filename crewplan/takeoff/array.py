"""A whole array on known rafters: shifted within the tolerance to save penetrations."""

from collections.abc import Sequence
from dataclasses import dataclass

from crewplan.takeoff.seats import Rafters, Seats, seat_rail

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class KnownRafters:
    """Where rafters and array lie, mm from the plane's left edge."""

    array_left_mm: float
    first_rafter_mm: float
    spacing_mm: float
    count: int

    def under(self, shift_mm: float) -> Rafters:
        """As seen from the left end of the array's rails, the array shifted to the right."""
        return Rafters(
            self.first_rafter_mm - self.array_left_mm - shift_mm, self.spacing_mm, self.count
        )


@dataclass(frozen=True, slots=True)
class SeatedArray:
    """Seats by row (None: fewer than two rafters below it), and the shift that gave them."""

    rows: tuple[Seats | None, ...]
    shift_mm: float


def seat_array(
    lengths_mm: Sequence[float],
    known: KnownRafters,
    spaces_per_span: int,
    cantilever_mm: float,
    shift_range_mm: tuple[float, float],
) -> SeatedArray:
    """Best shift: rows that keep the cantilever first, then fewest attachments, then least shift.

    Rows begin at the array's left edge. The count only changes where a rafter passes an end of a
    rail or of its cantilever, so that only such shifts are tried.
    """
    best: tuple[tuple[float, ...], SeatedArray] | None = None
    for shift in _shifts_mm(lengths_mm, known, cantilever_mm, shift_range_mm):
        rafters = known.under(shift)
        by_length = {
            length: seat_rail(length, rafters, spaces_per_span, cantilever_mm)
            for length in set(lengths_mm)
        }
        array = SeatedArray(tuple(by_length[length] for length in lengths_mm), shift)
        rank = _rank(array)
        if best is None or rank < best[0]:
            best = (rank, array)
    assert best is not None  # the shift 0 is always tried
    return best[1]


def _rank(array: SeatedArray) -> tuple[float, ...]:
    seated = [seats for seats in array.rows if seats is not None]
    return (
        len(array.rows) - len(seated),
        sum(seats.excess_mm for seats in seated),
        sum(len(seats.places_mm) for seats in seated),
        abs(array.shift_mm),
    )


def _shifts_mm(
    lengths_mm: Sequence[float],
    known: KnownRafters,
    cantilever_mm: float,
    shift_range_mm: tuple[float, float],
) -> list[float]:
    """0, both ends of the range, and each shift at which a rafter meets a place that matters."""
    low, high = shift_range_mm
    shifts = {0.0, low, high}
    for length in set(lengths_mm):
        for place in (0.0, cantilever_mm, length - cantilever_mm, length):
            rafters = known.under(0.0)
            hits = rafters.between(place + low, place + high)
            shifts.update(rafters.place(index) - place for index in hits)
    return sorted(shift for shift in shifts if low - _ROUNDING_MM <= shift <= high + _ROUNDING_MM)
