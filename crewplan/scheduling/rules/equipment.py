"""One shared piece of equipment serves one placement a day."""

from collections.abc import Hashable, Iterator, Mapping

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import Use, capacity_rows
from crewplan.scheduling.selection import Row

NAME = "equipment"
KIND: ReasonKind = "equipment"


def rows(held: Columns) -> Iterator[Row]:
    """Pieces of each kind on each day, for those whose crew must borrow."""
    choices = held.choices
    days = range(len(choices.horizon.days))
    capacity: dict[Hashable, int] = {
        (name, day): quantity for name, quantity in choices.equipment.items() for day in days
    }

    def uses() -> Iterator[Use]:
        for column, placement in enumerate(held.placements):
            borrowed = held.stages[placement.stage].shared_equipment.get(placement.crew, ())
            for day in held.days(column) if borrowed else ():
                for name in borrowed:
                    yield (name, day), column, 1

    wanted = tuple(uses())
    subjects: dict[Hashable, str] = {thing: str(thing[0]) for thing, _, _ in wanted}  # type: ignore[index]
    yield from capacity_rows(wanted, capacity, NAME, subjects)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which pieces are in use, and where."""
    used = (f"{name} ({', '.join(stages)})" for name, stages in clashes.items())
    return f"in use that day: {', '.join(used)}"
