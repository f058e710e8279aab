"""Crews lent between neighbouring branches, once each branch has a plan of its own.

A branch's plan stays as it is; the days on which it has nothing for a crew are offered to the
neighbours at a price. A branch that leaves stages out or is late plans once more with the crews
that are offered, and keeps the new plan only where it is cheaper with all that it pays for them.
So no branch is worse off than alone. A branch that borrows does not lend, nor the other way round.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.loan import Loan, Offer
from crewplan.model.people_rows import Absence
from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import Plan
from crewplan.placing.travel import distance_km
from crewplan.running.branch_task import Asked, Made
from crewplan.running.clock import Clock
from crewplan.running.week import plan_week
from crewplan.running.workers import Call, Workers
from crewplan.scheduling import PlanRejected
from crewplan.scheduling.checker.loans import loans_at_fault

LOAN = "crew of a neighbour"
"""The part of the price."""


@dataclass(frozen=True, slots=True, eq=False)
class Member:
    """A branch that takes part, with its plan alone."""

    key: str
    name: str
    """As other branches know it."""
    branch: Branch
    clock: Clock
    alone: Made

    @property
    def plan(self) -> Plan:
        """Its plan alone."""
        return self.alone.plan

    @property
    def in_need(self) -> int:
        """Cents that what is left out and what is late cost; 0: there is nothing to borrow for."""
        left_out = sum(out.cents for out in self.plan.unplaced)
        return left_out + self.plan.parts.get("lateness", 0)


@dataclass(frozen=True, slots=True, eq=False)
class Borrowed:
    """A plan with crews of neighbours; without loans it is no cheaper than the plan alone."""

    made: Made
    loans: tuple[Loan, ...]


def takes_part(branch: Branch) -> bool:
    """Whether its crews may be lent, and others come."""
    return branch.settings.crew_lent_per_day is not None


def neighbours(one: Branch, other: Branch) -> bool:
    """Whether each is near enough for the other, and they pay in the same money."""
    here, there = one.settings, other.settings
    apart = distance_km(here.latitude, here.longitude, there.latitude, there.longitude)
    near = apart <= min(here.crew_lent_within_km, there.crew_lent_within_km)
    return takes_part(one) and takes_part(other) and near and here.currency == there.currency


def _theirs(name: str, lender: str) -> str:
    return f"{name} of {lender}"


def offer(member: Member, lent: Collection[tuple[str, date]]) -> Offer:
    """What a branch has to lend; `lent`: crews' days that are gone already."""
    branch, plan = member.branch, member.plan
    taken = {
        (planned.placement.crew, plan.horizon.day_of(cell))
        for planned in plan.planned
        for cell in planned.placement.cells
    }

    def named(name: str) -> str:
        return _theirs(name, member.name)

    return Offer(
        branch=member.key,
        name=member.name,
        cents_per_day=2 * round(50 * (branch.settings.crew_lent_per_day or 0.0)),
        crews=tuple(replace(row, crew=named(row.crew)) for row in branch.crews),
        people=tuple(
            replace(row, person=named(row.person), crew=named(row.crew)) for row in branch.people
        ),
        certificates=tuple(replace(row, person=named(row.person)) for row in branch.certificates),
        absences=tuple(replace(row, person=named(row.person)) for row in branch.absences),
        free={
            named(row.crew): frozenset(
                day
                for day in plan.horizon.days
                if (row.crew, day) not in taken and (row.crew, day) not in lent
            )
            for row in branch.crews
        },
    )


def with_offers(branch: Branch, offers: Sequence[Offer], days: Sequence[date]) -> Branch:
    """The branch's tables with the crews that are offered, away on all days but their free ones."""
    home = tuple(
        Absence(row.person, day, day, "at home")
        for one in offers
        for row in one.people
        for day in days
        if day not in one.free[row.crew]
    )
    return replace(
        branch,
        crews=(*branch.crews, *(row for one in offers for row in one.crews)),
        people=(*branch.people, *(row for one in offers for row in one.people)),
        certificates=(*branch.certificates, *(row for one in offers for row in one.certificates)),
        absences=(*branch.absences, *(row for one in offers for row in one.absences), *home),
    )


def priced(choices: Choices, offers: Sequence[Offer]) -> Choices:
    """What a crew of others costs by the half-day.

    It comes as it is, nobody of it works with another crew or the other way round, and it is not
    sent home in the middle of a stage.
    """
    per_day = {crew.crew: one.cents_per_day for one in offers for crew in one.crews}
    theirs = {row.person: row.crew for one in offers for row in one.people}

    def may(placement: Placement) -> bool:
        crew = placement.crew if placement.crew in per_day else None
        if any(theirs.get(person) != crew for person in placement.people):
            return False
        days = {cell // 2 for cell in placement.cells}
        return crew is None or max(days) - min(days) < len(days)

    def dearer(placement: Placement) -> Placement:
        if placement.crew not in per_day:
            return placement
        cents = per_day[placement.crew] // 2 * len(placement.cells)
        return replace(placement, cost={**placement.cost, LOAN: cents})

    return replace(choices, placements=tuple(map(dearer, filter(may, choices.placements))))


def _loans(plan: Plan, offers: Sequence[Offer]) -> Iterator[Loan]:
    for one in offers:
        for crew in one.crews:
            placed = [p.placement for p in plan.planned if p.placement.crew == crew.crew]
            if placed:
                days = {plan.horizon.day_of(cell) for p in placed for cell in p.cells}
                own = crew.crew.removesuffix(_theirs("", one.name))
                cents = sum(p.cost.get(LOAN, 0) for p in placed)
                yield Loan(crew.crew, one.branch, own, tuple(sorted(days)), cents)


def borrow(
    branch: Branch, clock: Clock, asked: Asked, alone: Made, offers: tuple[Offer, ...]
) -> Borrowed:
    """Plan once more with the crews that are offered.

    Raises:
        PlanRejected: where the checker does not pass the plan.
    """
    week = plan_week(
        with_offers(branch, offers, alone.plan.horizon.days),
        clock,
        first=asked.first,
        days=asked.days,
        engine=asked.engine,
        stop=asked.stop,
        alter=lambda choices: priced(choices, offers),
    )
    if week.plan.objective >= alone.plan.objective:
        return Borrowed(alone, ())
    return Borrowed(Made(week.plan, week.hours), tuple(_loans(week.plan, offers)))


@dataclass(slots=True)
class Lent:
    """What came of lending: plans with crews of others, by key of the branch that borrows."""

    borrowed: dict[str, Borrowed] = field(default_factory=dict)
    errors: dict[str, Exception] = field(default_factory=dict)
    """Why a branch keeps its plan alone, where planning once more went wrong."""

    def gone(self, lender: str) -> set[tuple[str, date]]:
        """Crews' days that a branch has lent."""
        loans = (loan for one in self.borrowed.values() for loan in one.loans)
        return {
            (loan.own_name, day) for loan in loans if loan.lender == lender for day in loan.days
        }

    @property
    def lenders(self) -> set[str]:
        """Branches that lend."""
        return {loan.lender for one in self.borrowed.values() for loan in one.loans}


def lend(members: Mapping[str, Member], asked: Asked, workers: Workers) -> Lent:
    """Let all that are in need borrow, each in its turn.

    Raises:
        ClusterFault: where nobody is left to plan.
        PlanRejected: where the loans do not go together.
    """
    lent, tried = Lent(), set[str]()
    while turn := next_borrowers(members, tried | lent.lenders):
        calls = [
            Call(key, borrow, (members[key].branch, members[key].clock, asked, members[key].alone,
                               offers))
            for key, around in turn.items()
            if (offers := _offers(members, around, lent))
        ]  # fmt: skip
        for done in workers.run(calls):
            if done.error is not None:
                lent.errors[done.key] = done.error
            elif done.value.loans:
                lent.borrowed[done.key] = done.value
        tried |= turn.keys()
    plans = {key: member.plan for key, member in members.items()}
    plans |= {key: one.made.plan for key, one in lent.borrowed.items()}
    loans = {key: one.loans for key, one in lent.borrowed.items()}
    per_day = {key: offer(member, ()).cents_per_day for key, member in members.items()}
    if faults := tuple(loans_at_fault(plans, loans, per_day)):
        raise PlanRejected("the loans failed their own check: " + "; ".join(faults))
    return lent


def _offers(members: Mapping[str, Member], around: Sequence[str], lent: Lent) -> tuple[Offer, ...]:
    """Of neighbours that do not borrow themselves and have a crew free on some day."""
    found = (offer(members[key], lent.gone(key)) for key in around if key not in lent.borrowed)
    return tuple(one for one in found if any(one.free.values()))


def next_borrowers(
    members: Mapping[str, Member], settled: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """Who may borrow now, each with the neighbours that may lend to it.

    In order of need; nobody goes before a branch in greater need that might want the same crews.
    The order is that of the plans alone and never of who was ready first.

    Args:
        members: all that take part, by key.
        settled: those that have borrowed, or tried to.
    """
    order = sorted(
        (m for m in members.values() if m.in_need and m.key not in settled),
        key=lambda m: (-m.in_need, m.key),
    )
    around = {
        m.key: {o.key for o in members.values() if o is not m and neighbours(m.branch, o.branch)}
        for m in members.values()
    }
    claimed: set[str] = set()
    found: dict[str, tuple[str, ...]] = {}
    for member in order:
        reach = around[member.key] | {member.key}
        if not reach & claimed and around[member.key]:
            found[member.key] = tuple(sorted(around[member.key]))
        claimed |= reach
    return found
