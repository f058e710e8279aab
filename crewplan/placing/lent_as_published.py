"""Who was lent to whom where the published plan has a stage."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day
from crewplan.model.horizon import Horizon
from crewplan.model.placement import Keep, Placement, Reason
from crewplan.model.plan_row import PlanRow
from crewplan.placing.keep import published_cells


@dataclass(frozen=True, slots=True, eq=False)
class LentThen:
    """By the published plan."""

    crew_of: Mapping[str, str]
    """By person: the crew that they belong to."""
    on: Mapping[str, frozenset[date]]
    """By person: days on which they are lent to another crew."""
    horizon: Horizon

    def _away(self, crew: str, placement: Placement) -> tuple[str, ...]:
        """Of the crew, who was lent to others on any of a placement's days."""
        days = {self.horizon.days[day] for day in placement.days}
        return tuple(p for p, on in self.on.items() if self.crew_of[p] == crew and on & days)

    def held(
        self, row: PlanRow, wanted: Keep, placements: Sequence[Placement]
    ) -> tuple[Keep, Reason | None] | None:
        """Where a published row stays: with whom it was published, else with its crew alone.

        Returns None where no placement starts there, and a reason where people who were lent to it
        cannot come.
        """
        there = [p for p in placements if p.start == wanted.start]
        joined = tuple(name for name in row.lent if self.crew_of.get(name) not in (None, row.crew))
        away = {name for p in there for name in self._away(row.crew, p)}
        as_then = replace(wanted, joined=joined, lent_away=tuple(sorted(away)))
        if any(as_then.holds(p) for p in there):
            return as_then, None
        alone = replace(wanted, lent_away=tuple(sorted(away)))
        if not joined or not any(alone.holds(p) for p in there):
            return None
        day = self.horizon.day_of(wanted.start)
        text = f"published with {', '.join(joined)} lent to crew {row.crew}, who cannot come"
        return alone, Reason("pin", text, day, day)


def lent_then(branch: Branch, rows: Mapping[str, PlanRow], horizon: Horizon) -> LentThen:
    """What the rows of stages that are planned tell; `rows` by stage."""
    crew_of = {person.person: person.crew for person in branch.people}
    on: dict[str, set[date]] = {}
    for row in rows.values():
        days = published_cells(
            row, lambda day: is_working_day(branch.settings, day), until=horizon.days[-1]
        )
        for name in row.lent:
            if crew_of.get(name) not in (None, row.crew):
                on.setdefault(name, set()).update(days)
    return LentThen(crew_of, {name: frozenset(days) for name, days in on.items()}, horizon)
