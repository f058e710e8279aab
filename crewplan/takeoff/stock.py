"""A job's rails, of all rows and planes, cut from stock; each kind of rail from its own."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from crewplan.model.job_rows import Racking
from crewplan.model.takeoff import PlaneTakeOff, Rail, RailPart, StockCut
from crewplan.takeoff.cutting import Cutting, RailToCut, cut_rails
from crewplan.takeoff.splices import splice_places, splice_shortfall_mm

_DIGITS = 6
"""Decimals of a mm: seats that differ by less are alike, however they were added up."""


class JobCut(NamedTuple):
    """Planes whose rails know their pieces, and what each stock length is cut into."""

    planes: tuple[PlaneTakeOff, ...]
    stock: tuple[StockCut, ...]
    least: int


def cut_job(planes: Sequence[PlaneTakeOff], racking: Mapping[str, Racking]) -> JobCut:
    """Cut all rails of a job.

    Args:
        planes: as counted, rails without pieces.
        racking: by plane.
    """
    pieces: dict[tuple[str, int], tuple[float, ...]] = {}
    stock: list[StockCut] = []
    problems: dict[str, list[str]] = {plane.plane: [] for plane in planes}
    least = 0
    for kind in dict.fromkeys(racking.values()):
        rails = [
            (plane.plane, place, rail)
            for plane in planes
            if racking[plane.plane] == kind
            for place, rail in enumerate(plane.rails)
        ]
        to_cut = [_to_cut(rail) for _, _, rail in rails]
        cutting = cut_rails(to_cut, kind.rail_mm, kind.least_piece_mm)
        for (plane, place, _), way in zip(rails, cutting.ways, strict=True):
            pieces[plane, place] = way
        stock += _told(kind, [rail for _, _, rail in rails], cutting)
        least += cutting.least
        for plane, words in _unspliced(kind, rails, to_cut):
            problems[plane].append(words)
    return JobCut(
        tuple(
            replace(
                plane,
                rails=tuple(
                    replace(rail, pieces_mm=pieces[plane.plane, place])
                    for place, rail in enumerate(plane.rails)
                ),
                problems=(*plane.problems, *problems[plane.plane]),
            )
            for plane in planes
        ),
        tuple(stock),
        least,
    )


def _to_cut(rail: Rail) -> RailToCut:
    places = splice_places(rail.length_mm, rail.seats_mm)
    return RailToCut(
        round(rail.length_mm, _DIGITS),
        tuple((round(low, _DIGITS), round(high, _DIGITS)) for low, high in places),
    )


def _told(kind: Racking, rails: Sequence[Rail], cutting: Cutting) -> Iterator[StockCut]:
    for parts in cutting.stock:
        told = (
            RailPart(
                plane=rails[part.rail].plane,
                row=rails[part.rail].row,
                run=rails[part.rail].run,
                place=rails[part.rail].place,
                part=part.part + 1,
                parts=len(cutting.ways[part.rail]),
                length_mm=part.length_mm,
            )
            for part in parts
        )
        yield StockCut(kind.racking, kind.rail_mm, tuple(told))


def _unspliced(
    kind: Racking, rails: Sequence[tuple[str, int, Rail]], to_cut: Sequence[RailToCut]
) -> Iterator[tuple[str, str]]:
    """Rails that no allowed places of splices hold together; a row is told once."""
    told: set[tuple[str, int]] = set()
    for (plane, _, rail), row in zip(rails, to_cut, strict=True):
        if row.length_mm <= kind.rail_mm or (plane, rail.row) in told:
            continue
        short = splice_shortfall_mm(row.length_mm, kind.rail_mm, row.places, kind.least_piece_mm)
        if short > 0:
            told.add((plane, rail.row))
            yield (
                plane,
                f"plane {plane}: row {rail.row} cannot be spliced out of the middle third of its "
                f"spans, the stock of {kind.rail_mm:g} mm is short of that by {short:.0f} mm",
            )
