"""What a plane's take-off has to say: rules broken, with the shortfall in mm, and notes."""

from collections.abc import Iterator, Sequence

from crewplan.model.job_rows import Plane, Racking
from crewplan.takeoff.array import SeatedArray
from crewplan.takeoff.rail import THERMAL_BREAK_MM
from crewplan.takeoff.rows import ArrayRow, break_shortfall_mm
from crewplan.takeoff.seats import good_first_places_mm


def unseated_problems(
    plane: Plane, racking: Racking, rows: Sequence[ArrayRow], array: SeatedArray
) -> list[str]:
    """Rows that no choice of rafters holds, even shifted; each is told once, by its worst rail."""
    numbers = [row.number for row in rows for _ in row.runs]
    problems = []
    for number in dict.fromkeys(numbers):
        seats = [
            one
            for rails in (array.lower, array.upper)
            for one, of in zip(rails, numbers, strict=True)
            if of == number
        ]
        excess = max((one.excess_mm for one in seats if one is not None), default=0.0)
        if any(one is None for one in seats):
            problems.append(
                f"plane {plane.plane}: row {number} has fewer than two rafters under it"
            )
        elif excess > 0:
            problems.append(
                f"plane {plane.plane}: row {number} is over the cantilever of "
                f"{racking.cantilever_mm:g} mm by {excess:.0f} mm on these rafters"
            )
    return problems


def stagger_problems(
    plane: Plane, racking: Racking, spaces: int, array: SeatedArray | None
) -> Iterator[str]:
    """Inner attachments of neighbouring rails on one rafter, though staggering was asked for.

    That a span bridges two spaces is enough for any array; where it bridges one, every rafter below
    a rail is taken.
    """
    short = 2 * plane.rafter_spacing_mm - racking.max_span_mm
    if array is None and spaces == 1:
        yield (
            f"plane {plane.plane}: stagger needs a span over two rafter spaces, and "
            f"{racking.max_span_mm:g} mm is short of that by {short:.0f} mm"
        )
    elif array is not None and array.shared:
        told = f"short of two rafter spaces by {short:.0f} mm" if short > 0 else "long enough"
        yield (
            f"plane {plane.plane}: stagger broken on {array.shared} rafters, the span of "
            f"{racking.max_span_mm:g} mm is {told}"
        )


def break_words(plane: Plane, racking: Racking, rows: Sequence[ArrayRow]) -> Iterator[str]:
    """Runs of one module that are longer than a rail may be without a thermal break."""
    for row in rows:
        over = break_shortfall_mm(row, racking)
        if over > 0:
            yield (
                f"plane {plane.plane}: row {row.number} has a module longer than the run of "
                f"{racking.break_every_mm:g} mm between thermal breaks by {over:.0f} mm"
            )


def long_run_notes(plane: Plane, racking: Racking, rows: Sequence[ArrayRow]) -> Iterator[str]:
    """Rows that ask for a thermal break, where the racking does not say how often."""
    if racking.break_every_mm is not None:
        return
    for row in rows:
        if row.length_mm > THERMAL_BREAK_MM:
            yield (
                f"plane {plane.plane}: row {row.number} is {row.length_mm:.0f} mm long and needs a "
                f"thermal break every {THERMAL_BREAK_MM:.0f} mm"
            )


def where_enough_notes(
    plane: Plane,
    racking: Racking,
    lengths_mm: Sequence[float],
    spaces: int,
    counts: Sequence[int],
) -> list[str]:
    """One note for each length of rail whose count depends on where the rafters turn out to be."""
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
