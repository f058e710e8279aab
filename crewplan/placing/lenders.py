"""Who of other crews could help a crew on a day, and whom it costs least to ask first.

Not everybody is asked for everything: of those who could do the same, only the first few are. How
many stands here, in one place; more of them make plans slower and hardly cheaper.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from crewplan.model.people_rows import Person
from crewplan.placing.crew_days import CrewDays, counts
from crewplan.placing.site import Sites
from crewplan.placing.travel import distance_km

MOST_WHO_CURE = 2
"""People asked for one need of a crew on a day, or pairs where one is not enough. Assumed."""
MOST_WHO_SPEED_UP = 1
"""People asked to make a crew faster that could do the work without them. Assumed."""

Day = int
Name = str


@dataclass(frozen=True, slots=True)
class Needs:
    """What a stage asks of the people of a day."""

    people: int
    certificates: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Lenders:
    """All people of the branch over the days of the horizon, and what their crews would lose.

    `busy` has, by crew, on how many placements each day there would be without lending.
    """

    site: Sites
    busy: Mapping[str, Sequence[int]]

    @cached_property
    def crews(self) -> Mapping[str, CrewDays]:
        """By name."""
        return {crew.name: crew for crew in self.site.crews}

    @cached_property
    def certificates_of(self) -> Mapping[tuple[Name, Day], frozenset[str]]:
        """What each person holds on each day."""
        held: dict[tuple[Name, Day], set[str]] = {}
        for row in self.site.known.branch.certificates:
            for number, day in enumerate(self.site.known.horizon.days):
                if row.expires_on is None or day <= row.expires_on:
                    held.setdefault((row.person, number), set()).add(row.certificate)
        return {key: frozenset(names) for key, names in held.items()}

    @cached_property
    def there(self) -> Mapping[Name, frozenset[Day]]:
        """By person: the days on which they are there."""
        found: dict[str, set[int]] = {p.person: set() for p in self.site.known.branch.people}
        for crew in self.site.crews:
            for day, people in enumerate(crew.there):
                for person in people:
                    found.setdefault(person.person, set()).add(day)
        return {name: frozenset(days) for name, days in found.items()}

    def lacks(self, there: Iterable[Person], day: Day, needs: Needs) -> tuple[str, ...]:
        """What is missing of a stage's needs with these people: words of its own."""
        people = tuple(there)
        settings = self.site.known.branch.settings
        short = needs.people - sum(counts(settings, person) for person in people)
        missing = ["people"] * max(short, 0)
        if not any(person.role == "lead" for person in people):
            missing.append("lead")
        held = {c for p in people for c in self.certificates_of.get((p.person, day), ())}
        return (*missing, *(f"certificate {c}" for c in needs.certificates if c not in held))

    def _loss(self, person: Person, day: Day) -> int:
        """0 where the crew has nothing that day, 1 where it could go without the person, else 2."""
        crew = self.crews[person.crew]
        if not self.busy[person.crew][day]:
            return 0
        left = tuple(other for other in crew.there[day] if other is not person)
        return 1 if len(left) > 1 and any(other.role == "lead" for other in left) else 2

    def _alike(self, person: Person, day: Day) -> tuple[object, ...]:
        """People of a crew that are alike are asked one after another, in the table's order."""
        held = self.certificates_of.get((person.person, day), frozenset())
        return person.crew, person.role, person.pace, person.cost_per_h, held

    @cached_property
    def _asked(self) -> Mapping[Day, tuple[tuple[int, Person], ...]]:
        """By day: loss and person; of a crew that works, one of those who are alike."""
        found: dict[int, tuple[tuple[int, Person], ...]] = {}
        for day in range(len(self.site.known.horizon.days)):
            of_day: list[tuple[int, Person]] = []
            seen: set[tuple[object, ...]] = set()
            for crew in self.site.crews:
                for person in crew.there[day]:
                    loss, alike = self._loss(person, day), self._alike(person, day)
                    if loss == 0 or alike not in seen:
                        of_day.append((loss, person))
                    seen.add(alike)
            found[day] = tuple(of_day)
        return found

    @cached_property
    def _order(self) -> dict[tuple[str, Day], tuple[tuple[int, Person], ...]]:
        return {}

    def ranked(self, crew: CrewDays, day: Day) -> tuple[tuple[int, Person], ...]:
        """People of other crews with what their own loses: least loss first, then the nearest."""
        key = (crew.name, day)
        if key not in self._order:
            base = crew.crew

            def rank(asked: tuple[int, Person]) -> tuple[int, float, float]:
                loss, person = asked
                home = self.crews[person.crew].crew
                far = distance_km(
                    base.base_latitude, base.base_longitude, home.base_latitude, home.base_longitude
                )
                return loss, far, person.cost_per_h

            others = (one for one in self._asked[day] if one[1].crew != crew.name)
            self._order[key] = tuple(sorted(others, key=rank))
        return self._order[key]

    @cached_property
    def _cures(self) -> dict[tuple[Name, Day, Needs], tuple[tuple[Person, ...], ...]]:
        return {}

    def curing(self, crew: CrewDays, day: Day, needs: Needs) -> tuple[tuple[Person, ...], ...]:
        """Fewest people with whom the crew has all that it lacks on the day; nothing: no such."""
        key = crew.name, day, needs
        if key not in self._cures:
            self._cures[key] = tuple(self._curing(crew, day, needs))
        return self._cures[key]

    def _curing(self, crew: CrewDays, day: Day, needs: Needs) -> Iterator[tuple[Person, ...]]:
        missing = self.lacks(crew.there[day], day, needs)
        if not missing or not crew.there[day]:
            return
        one_each = [person for _, person in self.ranked(crew, day)]

        def cured(more: tuple[Person, ...]) -> bool:
            return not self.lacks((*crew.there[day], *more), day, needs)

        alone = [(person,) for person in one_each if cured((person,))]
        yield from alone[:MOST_WHO_CURE]
        if alone:
            return
        helpful = [
            person
            for person in one_each
            if len(self.lacks((*crew.there[day], person), day, needs)) < len(missing)
        ]
        pairs = (pair for pair in combinations(helpful[: 3 * MOST_WHO_CURE], 2) if cured(pair))
        yield from (pair for _, pair in zip(range(MOST_WHO_CURE), pairs, strict=False))

    def speeding_up(self, crew: CrewDays, day: Day) -> Iterator[tuple[Person, ...]]:
        """People whose own crew loses nothing that day."""
        if not crew.there[day]:
            return
        free = [person for loss, person in self.ranked(crew, day) if loss == 0]
        yield from ((person,) for person in free[:MOST_WHO_SPEED_UP])


def busy_days(
    crews: Iterable[str], days: int, placements: Iterable[tuple[str, tuple[int, ...]]]
) -> dict[str, list[int]]:
    """By crew and day: how many placements there are; each given as its crew and days."""
    found = {crew: np.zeros(days, dtype=np.int64) for crew in crews}
    for crew, on in placements:
        found[crew][list(on)] += 1
    return {crew: [int(n) for n in held] for crew, held in found.items()}
