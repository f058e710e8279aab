"""Take-off of one roof plane."""

from collections.abc import Sequence
from typing import Literal

from crewplan.model.job_rows import Module, Plane, Racking
from crewplan.model.takeoff import PlaneTakeOff, Rail, UpliftCheck
from crewplan.model.waiting_rows import Authority
from crewplan.takeoff.array import KnownRafters, SeatedArray, Stretch, seat_array
from crewplan.takeoff.plane_words import (
    break_words,
    long_run_notes,
    stagger_problems,
    unseated_problems,
    where_enough_notes,
)
from crewplan.takeoff.rail import RAILS, attachments_by_formula, spaces_per_span
from crewplan.takeoff.rows import ArrayRow, array_rows
from crewplan.takeoff.seats import Seats
from crewplan.takeoff.setbacks import ArraySize, SetBacks, check_setbacks
from crewplan.takeoff.shims import shims
from crewplan.takeoff.withdrawal import carried_mm, lag_check, uplift_n
from crewplan.takeoff.words import lags_per_attachment

_ENDLESS_RAFTERS = 1_000_000
"""Stands for a plane whose right edge is not known."""


def take_off_plane(
    plane: Plane, module: Module, racking: Racking, authority: Authority | None
) -> PlaneTakeOff:
    """Counts of one plane, with the places of its attachments where the rafters are known.

    Rafters count as known where `first_rafter_mm` and `array_left_mm` are given. Else the formula's
    count stands, and a note says where the first rafter has to lie for it to be enough.
    """
    rows = array_rows(plane, module, racking)
    setbacks = check_setbacks(plane, _size(rows), authority, racking.tolerance_mm)
    problems, notes = [*_stated(plane, racking), *setbacks.problems], [*setbacks.notes]
    spaces = spaces_per_span(plane.rafter_spacing_mm, racking.max_span_mm)
    if spaces == 0:
        short = plane.rafter_spacing_mm - racking.max_span_mm
        problems.append(
            f"plane {plane.plane}: span of {racking.max_span_mm:g} mm is below the rafter spacing "
            f"by {short:.0f} mm"
        )
        spaces = 1
    spacing = spaces * plane.rafter_spacing_mm
    array = _seated(plane, racking, rows, spaces, setbacks)
    lengths = [run.length_mm for row in rows for run in row.runs]
    formula = [attachments_by_formula(one, spacing, racking.cantilever_mm) for one in lengths]
    if array is None:
        notes.extend(where_enough_notes(plane, racking, lengths, spaces, formula))
    else:
        problems.extend(unseated_problems(plane, racking, rows, array))
    if racking.staggered:
        problems.extend(stagger_problems(plane, racking, spaces, array))
    problems.extend(break_words(plane, racking, rows))
    notes.extend(long_run_notes(plane, racking, rows))
    rails = _rails(plane, rows, array, formula)
    attachments = sum(rail.attachments for rail in rails)
    shift = array.shift_mm if array else min(max(0.0, setbacks.shift_range_mm[0]),
                                             setbacks.shift_range_mm[1])  # fmt: skip
    return PlaneTakeOff(
        plane=plane.plane,
        modules=sum(plane.rows),
        row_lengths_mm=tuple(row.length_mm for row in rows),
        attachment_spacing_mm=spacing,
        attachments_per_rail=tuple(
            sum(rail.attachments for rail in _lower(rails, row)) for row in rows
        ),
        attachments=attachments,
        rail_mm=RAILS * sum(lengths),
        seats_mm=tuple(
            tuple(rail.left_mm - row.left_mm + at for rail in _lower(rails, row)
                  for at in rail.seats_mm)
            for row in rows
        ) if array else (),
        shift_mm=shift,
        notes=tuple(notes),
        problems=tuple(problems),
        rails=rails,
        shims=shims(attachments, plane.unevenness_mm),
        uplift=_uplift(plane, racking, rows, rails),
    )  # fmt: skip


def _stated(plane: Plane, racking: Racking) -> list[str]:
    """Words of the tables that do not fit together."""
    problems = []
    if plane.racking not in ("", racking.racking):
        problems.append(
            f"plane {plane.plane}: no racking {plane.racking}, counted with {racking.racking}"
        )
    for name, values in (
        ("row_orientations", plane.row_orientations),
        ("row_left_mm", plane.row_left_mm),
    ):
        if values and len(values) != len(plane.rows):
            problems.append(
                f"plane {plane.plane}: {name} has {len(values)} words for {len(plane.rows)} rows"
            )
    return problems


def _size(rows: Sequence[ArrayRow]) -> ArraySize:
    left = min(row.left_mm for row in rows)
    right = max(row.left_mm + row.length_mm for row in rows)
    return ArraySize(left, right - left, rows[-1].low_mm + rows[-1].up_mm)


def _lower(rails: Sequence[Rail], row: ArrayRow) -> list[Rail]:
    return [rail for rail in rails if (rail.row, rail.place) == (row.number, "lower")]


def _seated(
    plane: Plane, racking: Racking, rows: Sequence[ArrayRow], spaces: int, setbacks: SetBacks
) -> SeatedArray | None:
    first, left, width = plane.first_rafter_mm, plane.array_left_mm, plane.width_mm
    if first is None or left is None:
        return None
    pitch = plane.rafter_spacing_mm
    count = _ENDLESS_RAFTERS if width is None else max(0, int((width - first) // pitch) + 1)
    return seat_array(
        [Stretch(row.number, run.left_mm, run.length_mm) for row in rows for run in row.runs],
        KnownRafters(left, first, pitch, count),
        spaces,
        racking.cantilever_mm,
        setbacks.shift_range_mm,
        racking.staggered,
    )


def _rails(
    plane: Plane, rows: Sequence[ArrayRow], array: SeatedArray | None, formula: Sequence[int]
) -> tuple[Rail, ...]:
    """Each row's lower rails, then its upper ones; a rail that has no seats counts by formula."""
    rails: list[Rail] = []
    start = 0
    for row in rows:
        places: tuple[Literal["lower"], Literal["upper"]] = ("lower", "upper")
        for place in places:
            for number, run in enumerate(row.runs):
                seats: Seats | None = None
                if array is not None:
                    seats = (array.lower if place == "lower" else array.upper)[start + number]
                rails.append(
                    Rail(
                        plane=plane.plane,
                        row=row.number,
                        run=number + 1,
                        place=place,
                        left_mm=run.left_mm,
                        length_mm=run.length_mm,
                        attachments=len(seats.places_mm) if seats else formula[start + number],
                        seats_mm=seats.places_mm if seats else (),
                    )
                )
        start += len(row.runs)
    return tuple(rails)


def _uplift(
    plane: Plane, racking: Racking, rows: Sequence[ArrayRow], rails: Sequence[Rail]
) -> UpliftCheck:
    """The worst attachment's; where rafters are not known, no place and so no sum."""
    ups = {row.number: row.up_mm for row in rows}
    worst = None
    if plane.uplift_pa is not None and all(rail.seats_mm for rail in rails):
        worst = max(
            uplift_n(plane.uplift_pa, carried_mm(rail.length_mm, rail.seats_mm), ups[rail.row])
            for rail in rails
        )
    return lag_check(
        plane.uplift_pa,
        plane.rafter_gravity,
        (racking.lag_diameter_mm, racking.lag_thread_mm),
        lags_per_attachment(plane.covering),
        worst,
    )
