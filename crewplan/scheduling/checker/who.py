"""A lead, enough people and every certificate on each day."""

from collections.abc import Iterator

from crewplan.scheduling.checker.facts import Facts


def led(facts: Facts) -> Iterator[str]:
    """One person of role lead is there on every day; the people are the crew's and who joins."""
    for placement in facts.known:
        days = facts.days(placement)
        there = {day: {p.person: p.role for p in facts.at_work(placement, day)} for day in days}
        for day in days:
            if there[day].get(placement.lead) != "lead":
                yield f"absent lead: {placement.lead} does not lead {placement.stage} on {day}"
        everybody = {person for on_day in there.values() for person in on_day}
        if everybody != set(placement.people):
            yield f"people: those of {placement.stage} are not who is there of {placement.crew}"


def enough_people(facts: Facts) -> Iterator[str]:
    """As many as the stage and its steps take; nobody is alone on a roof."""
    for placement in facts.known:
        hours = facts.hours[placement.stage]
        needed = max(1, facts.stages[placement.stage].min_people)
        for step in hours.steps:
            needed = max(needed, step.min_people, 1 if step.exposure == "ground" else 2)
        for day in facts.days(placement):
            there = facts.at_work(placement, day)
            if not facts.branch.settings.trainees_count:
                there = tuple(person for person in there if person.role != "trainee")
            count = len(there)
            if count < needed:
                yield f"too few people: {count} of {needed} on {placement.stage} on {day}"


def certified(facts: Facts) -> Iterator[str]:
    """Each certificate is held, on each day, by somebody who is there."""
    for placement in facts.known:
        for day in facts.days(placement):
            there = {person.person for person in facts.at_work(placement, day)}
            held = {
                row.certificate
                for row in facts.branch.certificates
                if row.person in there and (row.expires_on is None or row.expires_on >= day)
            }
            for certificate in facts.stages[placement.stage].certificates:
                if certificate not in held:
                    yield f"certificate: nobody on {placement.stage} holds {certificate} on {day}"
