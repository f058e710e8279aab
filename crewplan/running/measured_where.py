"""A crew's reading counts on every roof that the published plan has them on that day."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.reading import Reading
from crewplan.running.published import published_on


def on_their_roofs(branch: Branch, readings: Iterable[Reading]) -> Iterator[Reading]:
    """The readings, and those that name only a crew once more for each of the crew's jobs.

    Without it a verdict asked for by job, or by another crew on the same roof, would not hear of
    wind that was measured there.
    """
    job_of = {stage.stage: stage.job for stage in branch.stages}
    for reading in readings:
        yield reading
        if reading.crew and not reading.job and not reading.stage:
            day = local_day(branch.settings, reading.at)
            rows = published_on(branch, reading.crew, day)
            for job in dict.fromkeys(job_of[row.stage] for row in rows):
                yield replace(reading, job=job)


def where_it_counts(branch: Branch, reading: Reading) -> tuple[Reading, ...]:
    """A reading to be kept: once for each job of the crew that day, where it names only a crew.

    Whoever shows it later may not know where that crew was: another crew's lead does not.
    """
    every = tuple(on_their_roofs(branch, (reading,)))
    return every[1:] or every
