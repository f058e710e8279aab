"""People lent between crews: counted anew by person and day, from who is told to be where."""

from collections.abc import Iterator

from crewplan.scheduling.checker.facts import Facts


def lent_as_allowed(facts: Facts) -> Iterator[str]:
    """Nobody is lent where the branch lends nobody, nor while away, nor is in two crews a day."""
    home = {person.person: person.crew for person in facts.branch.people}
    with_crews: dict[tuple[str, object], set[str]] = {}
    for placement in facts.known:
        others = {name for name in placement.people if home.get(name) != placement.crew}
        own = {name for name, crew in home.items() if crew == placement.crew}
        if others != set(placement.joined):
            yield f"lending: {placement.stage} does not tell who joins crew {placement.crew}"
        if not set(placement.lent_away) <= own:
            yield f"lending: {placement.stage} does without people who are not of its crew"
        for day in facts.days(placement):
            for name in placement.people:
                with_crews.setdefault((name, day), set()).add(placement.crew)
            for name in others:
                if name not in home:
                    yield f"lending: {name} of {placement.stage} is in no crew"
                elif not any(p.person == name for p in facts.there(home[name], day)):
                    yield f"lending: {name} is away on {day}, and lent to {placement.stage}"
            for name in placement.lent_away:
                if facts.lent_on.get((name, day), placement.crew) == placement.crew:
                    yield f"lending: {placement.stage} lacks {name}, who is not lent on {day}"
    for (name, on), crews in with_crews.items():
        if len(crews) > 1:
            yield f"lending: {name} is with crews {', '.join(sorted(crews))} on {on}"
    if facts.lent_on and facts.branch.settings.lending_cost_per_day is None:
        yield "lending: the branch lends nobody"
