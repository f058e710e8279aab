"""A job with another crew than the one that started it, recounted from the tables."""

from collections import defaultdict
from collections.abc import Iterator

from crewplan.model.calendar import local_day
from crewplan.scheduling.checker.facts import Facts


def _starter(facts: Facts, job: str) -> str | None:
    """Who worked on it first by the hours written down, else who was sent first before today."""
    branch = facts.branch
    crews = {person.person: person.crew for person in branch.people}
    worked: dict[tuple[int, str], float] = defaultdict(float)
    for row in branch.hours_worked:
        stage = facts.stages.get(row.stage)
        if stage is not None and stage.job == job and not row.cause and row.person in crews:
            worked[row.day.toordinal(), crews[row.person]] += row.hours
    if worked:
        first = min(day for day, _ in worked)
        on_it = [(-hours, crew) for (day, crew), hours in worked.items() if day == first]
        return min(on_it)[1]
    today = local_day(branch.settings, facts.now)
    sent = [
        (row.start_on, row.start_half, row.stage, row.crew)
        for row in branch.plan
        if row.start_on < today and row.stage in facts.stages and facts.stages[row.stage].job == job
    ]
    return min(sent)[3] if sent else None


def another_crew_is_priced(facts: Facts) -> Iterator[str]:
    """Who did not start a job pays for it, where that has a price; nobody else does."""
    cost = facts.branch.settings.other_crew_cost
    starters: dict[str, str | None] = {}
    for placement in facts.known:
        job = facts.stages[placement.stage].job
        if cost and job not in starters:
            starters[job] = _starter(facts, job)
        other = starters.get(job) not in (None, placement.crew)
        told, wanted = placement.cost.get("another crew", 0), round(100 * cost) if other else 0
        if told != wanted:
            yield f"price: {placement.stage} carries {told} cents for another crew, not {wanted}"
