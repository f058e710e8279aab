"""Evening notes of all crews, or of one, by the published plan."""

from collections.abc import Sequence
from datetime import date

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.reading import Reading
from crewplan.model.verdict import DayVerdict
from crewplan.publishing.evening_note import Note, evening_note
from crewplan.publishing.lent_words import lent_of_visit
from crewplan.publishing.standby import of_visit
from crewplan.running.clock import Clock
from crewplan.running.gating import UnknownName, ask_gate
from crewplan.running.next_early import after_visit, next_early
from crewplan.running.published import left_until
from crewplan.running.published_lent import published_lent
from crewplan.running.published_standby import published_standby
from crewplan.takeoff import take_off_all


def evening_notes(
    branch: Branch,
    clock: Clock,
    day: date,
    *,
    crew: str | None = None,
    readings: Sequence[Reading] = (),
) -> list[tuple[Note, list[DayVerdict]]]:
    """A note for each site that the published plan has a crew at, with the verdicts behind it.

    Raises:
        UnknownName: a crew that the folder does not have.
    """
    names = [row.crew for row in branch.crews]
    if crew is not None and crew not in names:
        raise UnknownName(f"{crew!r} is no crew of this folder")
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, local_day(branch.settings, clock.now))
    chosen = published_standby(branch, clock, day, takeoffs, hours)
    lent = published_lent(branch, {day})
    early = next_early(branch, hours, day)
    found = []
    for name in names if crew is None else [crew]:
        told = ask_gate(branch, clock, day, crew=name, readings=readings)
        sites: dict[tuple[str, str], list[DayVerdict]] = {}
        for verdict in told:
            sites.setdefault((verdict.job, verdict.stage), []).append(verdict)
        found += [
            (
                evening_note(
                    branch.settings,
                    name,
                    of_site,
                    hours.get(stage),
                    of_visit(chosen, day, name, stage),
                    left_until(branch, name, stage, day) if stage else None,
                    lent_of_visit(lent, day, name, stage),
                    after_visit(early, name, stage),
                ),
                of_site,
            )
            for (_, stage), of_site in sites.items()
        ]
    return found
