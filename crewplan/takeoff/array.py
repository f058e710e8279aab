"""A whole array on known rafters: shifted within the tolerance to save penetrations."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from crewplan.takeoff.seats import Rafters, Seats, seat_rail
from crewplan.takeoff.stagger import Level, seat_staggered

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class KnownRafters:
    """Where rafters and array lie, mm from the plane's left edge."""

    array_left_mm: float
    first_rafter_mm: float
    spacing_mm: float
    count: int

    def under(self, shift_mm: float, left_mm: float = 0.0) -> Rafters:
        """As seen from the left end of a rail, the array shifted to the right."""
        return Rafters(
            self.first_rafter_mm - self.array_left_mm - shift_mm - left_mm,
            self.spacing_mm,
            self.count,
        )


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where both rails of one run lie: from the array's left edge."""

    row: int
    left_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class SeatedArray:
    """Seats of each stretch's lower and upper rail (None: fewer than two rafters below), and the
    shift that gave them."""

    lower: tuple[Seats | None, ...]
    upper: tuple[Seats | None, ...]
    shift_mm: float
    shared: int = 0
    """Rafters that carry inner attachments of two neighbouring rails, where staggering was asked
    for."""


def seat_array(
    stretches: Sequence[Stretch],
    known: KnownRafters,
    spaces_per_span: int,
    cantilever_mm: float,
    shift_range_mm: tuple[float, float],
    staggered: bool = False,
) -> SeatedArray:
    """Best shift: most rails that keep the cantilever, least shared rafters, fewest attachments;
    then least shift.

    What can be done only changes where a rafter passes an end of a rail or of its cantilever, so
    that only such shifts are tried, and of these first those that promise most.
    """
    tries = []
    for shift in _shifts_mm(stretches, known, cantilever_mm, shift_range_mm):
        single = _alone(stretches, known, spaces_per_span, cantilever_mm, shift)
        tries.append((_rank(single), single))
    tries.sort(key=lambda one: one[0])
    if not staggered:
        return tries[0][1]
    best: tuple[tuple[float, ...], SeatedArray] | None = None
    for bound, single in tries:
        if best is not None and best[0] <= bound:
            break  # nobody shares for less than each rail alone
        array = _staggered(stretches, known, spaces_per_span, cantilever_mm, single)
        rank = _rank(array)
        if best is None or rank < best[0]:
            best = (rank, array)
    assert best is not None  # the shift 0 is always tried
    return best[1]


def _alone(
    stretches: Sequence[Stretch],
    known: KnownRafters,
    spaces: int,
    cantilever_mm: float,
    shift_mm: float,
) -> SeatedArray:
    """Each rail for itself, so that both rails of a row are alike."""
    found: dict[tuple[float, float], Seats | None] = {}
    for one in stretches:
        key = (one.left_mm, one.length_mm)
        if key not in found:
            rafters = known.under(shift_mm, one.left_mm)
            found[key] = seat_rail(one.length_mm, rafters, spaces, cantilever_mm)
    rails = tuple(found[one.left_mm, one.length_mm] for one in stretches)
    return SeatedArray(rails, rails, shift_mm)


def _staggered(
    stretches: Sequence[Stretch],
    known: KnownRafters,
    spaces: int,
    cantilever_mm: float,
    single: SeatedArray,
) -> SeatedArray:
    """The same shift with neighbouring rails' inner attachments on different rafters."""
    levels: list[Level] = []
    origin = known.under(single.shift_mm)
    for row in dict.fromkeys(one.row for one in stretches):
        level = tuple(
            (one.left_mm, one.length_mm)
            for one, seats in zip(stretches, single.lower, strict=True)
            if one.row == row and seats is not None
        )
        levels += [level, level]
    seated, shared = seat_staggered(levels, origin, spaces, cantilever_mm)
    lower: list[Seats | None] = []
    upper: list[Seats | None] = []
    at: dict[int, int] = {}
    order = {row: place for place, row in enumerate(dict.fromkeys(one.row for one in stretches))}
    for one, seats in zip(stretches, single.lower, strict=True):
        place = order[one.row]
        if seats is None:
            lower.append(None)
            upper.append(None)
            continue
        number = at.get(place, 0)
        at[place] = number + 1
        lower.append(seated[2 * place][number])
        upper.append(seated[2 * place + 1][number])
    return SeatedArray(tuple(lower), tuple(upper), single.shift_mm, shared)


def _rank(array: SeatedArray) -> tuple[float, ...]:
    rails = (*array.lower, *array.upper)
    seated = [seats for seats in rails if seats is not None]
    return (
        len(rails) - len(seated),
        sum(seats.excess_mm > 0 for seats in seated),
        array.shared,
        sum(seats.excess_mm for seats in seated),
        sum(len(seats.places_mm) for seats in seated),
        abs(array.shift_mm),
    )


def _shifts_mm(
    stretches: Sequence[Stretch],
    known: KnownRafters,
    cantilever_mm: float,
    shift_range_mm: tuple[float, float],
) -> list[float]:
    """Both ends of the range, 0 where it lies within, each shift at which a rafter meets a place
    that matters, and one between each two of these, where fewer rafters may lie below a rail."""
    low, high = shift_range_mm
    shifts = {min(max(0.0, low), high), low, high}
    for left, length in {(one.left_mm, one.length_mm) for one in stretches}:
        for place in (0.0, cantilever_mm, length - cantilever_mm, length):
            rafters = known.under(0.0, left)
            hits = rafters.between(place + low, place + high)
            shifts.update(rafters.place(index) - place for index in hits)
    inside = sorted(s for s in shifts if low - _ROUNDING_MM <= s <= high + _ROUNDING_MM)
    return [*inside, *((a + b) / 2 for a, b in pairwise(inside))]
