"""Who is lent to which crew on which day, in words."""

from crewplan.model.branch import Branch
from crewplan.model.placement import Placement
from crewplan.model.plan import Plan


def lent_lines(branch: Branch, plan: Plan) -> tuple[str, ...]:
    """A line a person, day and crew, by day; and which stages of their own crew do without them."""
    home = {person.person: person.crew for person in branch.people}
    stages: dict[tuple[int, str, str], list[str]] = {}
    without: dict[tuple[int, str], list[str]] = {}
    for placement in (planned.placement for planned in plan.planned):
        for day in placement.days:
            for person in placement.joined:
                stages.setdefault((day, person, placement.crew), []).append(placement.stage)
            for person in placement.lent_away:
                without.setdefault((day, person), []).append(placement.stage)
    lines = []
    for (day, person, crew), names in sorted(stages.items()):
        left = without.get((day, person), [])
        lines.append(
            f"{plan.horizon.days[day]:%a %Y-%m-%d}: {person} of crew {home.get(person, '')} goes "
            f"with crew {crew} ({', '.join(names)})"
            + (f"; {', '.join(left)} goes on without" if left else "")
        )
    return tuple(lines)


def lent_of(branch: Branch, placement: Placement) -> tuple[tuple[str, str], ...]:
    """For the sheet of a visit: a label and who comes from which crew, or is with another."""
    home = {person.person: person.crew for person in branch.people}
    joined = ", ".join(f"{name} (crew {home.get(name, '')})" for name in placement.joined)
    found = (("Lent to the crew", joined), ("Lent to others", ", ".join(placement.lent_away)))
    return tuple((label, who) for label, who in found if who)
