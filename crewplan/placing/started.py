"""Which crew started each job."""

from datetime import date

from crewplan.model.branch import Branch


def started_by(branch: Branch, today: date) -> dict[str, str]:
    """By job: the crew of who worked on it first, by the hours written down (of several crews on
    that day the one with the most of them); where none are, who was sent first by the published
    plan before today. Jobs that nobody started are not in it."""
    job_of = {stage.stage: stage.job for stage in branch.stages}
    crew_of = {person.person: person.crew for person in branch.people}
    first: dict[str, tuple[date, dict[str, float]]] = {}
    for row in branch.hours_worked:
        job, crew = job_of.get(row.stage), crew_of.get(row.person)
        if job is None or crew is None or row.cause:
            continue
        if job not in first or row.day < first[job][0]:
            first[job] = (row.day, {})
        if row.day == first[job][0]:
            hours = first[job][1]
            hours[crew] = hours.get(crew, 0.0) + row.hours
    found = {
        job: min(hours, key=lambda crew: (-hours[crew], crew)) for job, (_, hours) in first.items()
    }
    for sent in sorted(branch.plan, key=lambda row: (row.start_on, row.start_half, row.stage)):
        job = job_of.get(sent.stage)
        if job is not None and sent.start_on < today:
            found.setdefault(job, sent.crew)
    return found
