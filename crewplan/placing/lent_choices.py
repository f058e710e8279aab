"""Further placements in which people are lent between crews.

A placement with people of other crews has them on each of its days, and one of a crew that lends
has them on none. So the number of further placements stays bounded: for each crew the few people
(or pairs) that `lenders` names, and for the crew that they come from its own placements without
one of them, on days for which somebody wants that person. A crew whose people are lent beyond that
has no placement on the day.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from crewplan.model.people_rows import Person
from crewplan.model.placement import Placement
from crewplan.model.plan_row import PlanRow
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.crew_days import CrewDays, with_lent
from crewplan.placing.fit_line import Fitted, fit_alone
from crewplan.placing.lenders import Lenders, Needs, busy_days
from crewplan.placing.offers import Offered
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts

MOST_CREWS = 4
"""Crews that people of others may join for a stage: those with the shortest drives. Assumed."""

MOST_LENDERS = 12
"""Crews that a stage is offered to without one of their people: those with the shortest drives, as
it is with crews that come back to a stage. A crew that lends somebody does nothing far away that
day. Assumed."""

Wanted = dict[Person, set[int]]
"""By person: days on which another crew could do something with them."""

OfUse = Callable[[tuple[int, ...], tuple[int, ...]], bool]
"""Of a placement's half-days and days (by index)."""


@dataclass(slots=True, eq=False)
class _Walks:
    """The stage's walks by time line: crews and rosters of one pace and drive share one."""

    site: Sites
    facts: StageFacts
    made: dict[int, Fitted]

    def placements(self, crew: CrewDays, of_use: OfUse) -> list[Placement]:
        """What a crew made up like this could do that is of use, whoever may come on which day."""
        choices = CrewChoices(self.site, self.facts, crew)
        faults, good = choices.admissible()
        if not good.any():
            return []
        key = id(choices.line)
        if key not in self.made:
            self.made[key] = fit_alone(self.site, self.facts, choices.line)
        choices.fill(self.made[key], faults, good, of_use)
        return choices.placements


class _Rosters:
    """Crews made up otherwise, each once."""

    def __init__(self, site: Sites) -> None:
        self._site = site
        self._made: dict[tuple[str, tuple[str, ...], tuple[str, ...]], CrewDays] = {}

    def of(
        self, own: CrewDays, joined: tuple[Person, ...], lent_away: tuple[Person, ...] = ()
    ) -> CrewDays:
        key = own.name, tuple(p.person for p in joined), tuple(p.person for p in lent_away)
        if key not in self._made:
            known = self._site.known
            self._made[key] = with_lent(known.branch, own, known.horizon.days, joined, lent_away)
        return self._made[key]


@dataclass(frozen=True, slots=True)
class _Asked:
    """People who are asked to join a crew for a stage."""

    on: set[int]
    """Days on which they are asked: the crew lacks something, or they would make it faster."""
    there: frozenset[int]
    """Days on which all of them are there."""


def _helpers(
    lenders: Lenders, facts: StageFacts, offer: CrewChoices, then: tuple[Person, ...]
) -> tuple[dict[tuple[Person, ...], _Asked], set[int]]:
    """Who is asked to join the crew, `then` in any case, and days on which it needs somebody."""
    needs = Needs(offer.needed, facts.stage.certificates)
    found: dict[tuple[Person, ...], _Asked] = {}
    lacking: set[int] = set()

    def ask(people: tuple[Person, ...], days: Iterable[int]) -> None:
        both = frozenset.intersection(*(lenders.there[person.person] for person in people))
        found.setdefault(people, _Asked(set(), both)).on.update(days)

    if then:
        ask(then, range(len(offer.horizon.days)))
    for day in range(len(offer.horizon.days)):
        if lenders.lacks(offer.crew.there[day], day, needs):
            lacking.add(day)
        for people in lenders.curing(offer.crew, day, needs):
            ask(people, (day,))
        for people in lenders.speeding_up(offer.crew, day) if offer.placements else ():
            ask(people, (day,))
    return found, lacking


def _no_day_skipped(days: Sequence[int], usable: Sequence[int]) -> bool:
    """A crew that lends its only one does not jump over a day on which that one might be back."""
    return all(day in days for day in usable if days[0] <= day <= days[-1])


def _joined(
    lenders: Lenders,
    rosters: _Rosters,
    walks: _Walks,
    offer: CrewChoices,
    then: tuple[Person, ...],
) -> Iterator[tuple[tuple[Person, ...], Placement]]:
    """Placements with people of other crews that do what the crew alone cannot, or faster."""
    alone = {p.start: p.end for p in offer.placements if not p.parts}
    helpers, lacking = _helpers(lenders, walks.facts, offer, then)
    for people, asked in helpers.items():
        names = tuple(person.person for person in people)

        def of_use(
            own: tuple[int, ...],
            days: tuple[int, ...],
            people: tuple[Person, ...] = people,
            asked: _Asked = asked,
        ) -> bool:
            better = people == then or own[-1] < alone.get(own[0], own[-1] + 1)
            on = set(days)
            helped = asked.on & on
            return better and bool(helped) and lacking & on <= helped and on <= asked.there

        for placement in walks.placements(rosters.of(offer.crew, people), of_use):
            yield people, replace(placement, joined=names)


def _without(
    lenders: Lenders, rosters: _Rosters, walks: _Walks, offer: CrewChoices, wanted: Wanted
) -> Iterator[Placement]:
    """The crew's placements without one of its people, on days for which that one is wanted."""
    usable = walks.site.usable(offer.crew, walks.facts.job)
    starts = {p.start // 2 for p in offer.placements}
    for person in offer.crew.everybody:
        days = wanted.get(person, set()) & lenders.there[person.person]
        if days.isdisjoint(starts):
            continue  # what all of the crew cannot begin on such a day fewer cannot either

        def of_use(_: tuple[int, ...], on: tuple[int, ...], days: set[int] = days) -> bool:
            return days.issuperset(on) and _no_day_skipped(on, usable)

        for placement in walks.placements(rosters.of(offer.crew, (), (person,)), of_use):
            yield replace(placement, lent_away=(person.person,))


def _nearest(one: Offered, most: int) -> list[CrewChoices]:
    return sorted(one.crews, key=lambda offer: offer.one_way_h)[:most]


def lent_choices(
    site: Sites, stages: Sequence[Offered], rows: Mapping[str, PlanRow]
) -> Mapping[str, list[Placement]]:
    """By stage, placements that need people to be lent; their price has no cost of lending in it.

    Args:
        site: what the stages of the plan share.
        stages: each with what the crews can do by themselves.
        rows: by stage, its row of the published plan: who was lent there may be again.
    """
    people_of = {person.person: person for crew in site.crews for person in crew.everybody}

    def then(stage: str, crew: str) -> tuple[Person, ...]:
        row = rows.get(stage)
        names = () if row is None or row.crew != crew else row.lent
        people = (people_of[name] for name in names if name in people_of)
        return tuple(person for person in people if person.crew != crew)

    days = len(site.known.horizon.days)
    own = ((p.crew, p.days) for one in stages for c in one.crews for p in c.placements)
    lenders = Lenders(site, busy_days([crew.name for crew in site.crews], days, own))
    rosters = _Rosters(site)
    found: dict[str, list[Placement]] = {}
    wanted: Wanted = {}
    walks = {one.facts.stage.stage: _Walks(site, one.facts, {}) for one in stages}
    for one in stages:
        name = one.facts.stage.stage
        found[name] = []
        near = {id(offer) for offer in _nearest(one, MOST_CREWS)}
        for offer in one.crews:
            published = then(name, offer.crew.name)
            if id(offer) not in near and not published:
                continue
            for people, placement in _joined(lenders, rosters, walks[name], offer, published):
                found[name].append(placement)
                for person in people:
                    wanted.setdefault(person, set()).update(placement.days)
    for one in stages:
        name = one.facts.stage.stage
        near = {id(offer) for offer in _nearest(one, MOST_LENDERS)}
        row = rows.get(name)
        for offer in one.crews:
            if id(offer) in near or (row is not None and row.crew == offer.crew.name):
                found[name] += _without(lenders, rosters, walks[name], offer, wanted)
    return found
