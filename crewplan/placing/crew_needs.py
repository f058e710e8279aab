"""What a crew lacks for a stage, whatever its time and the weather: people, certificates, kit."""

from crewplan.placing.crew_days import CrewDays
from crewplan.placing.needs.equipment import out_of_service, without_equipment
from crewplan.placing.needs.people import DayFault, day_faults, faulty_starts, people_needed
from crewplan.placing.removals import Removal
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts


def crew_lacks(
    site: Sites, facts: StageFacts, crew: CrewDays
) -> tuple[list[DayFault], list[Removal]]:
    """The crew's faults by day, and the starts which they and missing equipment take away."""
    needed = people_needed(facts.stage, facts.hours)
    key = crew, needed, facts.stage.certificates, facts.stage.equipment
    if key not in site.lacking:
        site.lacking[key] = _lacks(site, facts, crew, needed)
    faults, taken = site.lacking[key]
    return list(faults), list(taken)


def _lacks(
    site: Sites, facts: StageFacts, crew: CrewDays, needed: int
) -> tuple[tuple[DayFault, ...], tuple[Removal, ...]]:
    horizon, equipment = site.known.horizon, site.known.branch.equipment
    faults = day_faults(crew, needed, facts.stage.certificates)
    faults += out_of_service(facts.stage, crew.crew, equipment, horizon.days)
    shared = {row.equipment: row.quantity for row in equipment}
    taken = without_equipment(facts.stage, crew.crew, shared, horizon)
    return tuple(faults), (*taken, *faulty_starts(faults, crew))
