"""A stage that is broken off and taken up again, part by part."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from crewplan.model.placement import Placement, altered
from crewplan.model.plan import Planned


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """One run of half-days of a planned stage; its placement has that run's half-days only."""

    planned: Planned
    number: int
    """1 for the first."""
    of: int

    @property
    def words(self) -> str:
        """'part 1 of 2'; empty where the stage is done in one go."""
        return f"part {self.number} of {self.of}" if self.of > 1 else ""


def placement_parts(placement: Placement) -> tuple[Placement, ...]:
    """A placement for each part: its half-days, people, hours and price; they add up to the whole.

    Chances are those of the whole stage. What is done in one go is its own only part.
    """
    if not placement.parts:
        return (placement,)
    return tuple(
        replace(
            placement,
            cells=part.cells,
            people=part.people,
            labour_p50_h=part.labour_p50_h,
            labour_p80_h=part.labour_p80_h,
            lost_h=part.lost_h,
            cost=part.cost,
            parts=(),
        )
        for part in placement.parts
    )


def without_price(placement: Placement) -> Placement:
    """The placement for who may see no money."""
    parts = tuple(replace(part, cost={}) for part in placement.parts)
    return replace(placement, cost={}, parts=parts)


def dearer_by(placement: Placement, name: str, cents: int) -> Placement:
    """The placement with one more part of its price, which its first part carries."""
    parts = placement.parts
    if parts:
        parts = (replace(parts[0], cost={**parts[0].cost, name: cents}), *parts[1:])
    return altered(placement, cost={**placement.cost, name: cents}, parts=parts)


def planned_parts(planned: Iterable[Planned]) -> Iterator[PlannedPart]:
    """Every part of every planned stage, a stage's parts one after the other."""
    for one in planned:
        found = placement_parts(one.placement)
        for number, placement in enumerate(found, start=1):
            yield PlannedPart(replace(one, placement=placement), number, len(found))
