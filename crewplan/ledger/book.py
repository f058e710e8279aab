"""All that the ledger's questions are asked of, worked out once."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from crewplan.labour import stage_hours_all
from crewplan.ledger.earned import Gain, gains
from crewplan.ledger.entries import Entries, entries_of, everybody, micro_of, words_of
from crewplan.ledger.material import Material, material_all
from crewplan.model.branch import Branch
from crewplan.model.takeoff import JobTakeOff

_MILLIONTH = Decimal("0.000001")


@dataclass(frozen=True, slots=True, eq=False)
class Book:
    """A branch's record. Stages, jobs and crews are told by their place in the branch's tables."""

    branch: Branch
    takeoffs: Mapping[str, JobTakeOff]
    people: tuple[str, ...]
    """Everybody in `people` or in hours."""
    costs: tuple[Decimal | None, ...]
    """Loaded cost of an hour of each of `people`; None: no longer in the table, so unknown."""
    crew_of: tuple[int, ...]
    """Crew of each of `people` as the table has it now; the number of crews: unknown."""
    job_of: tuple[int, ...]
    """Job of each stage."""
    planned: tuple[Mapping[str, int], ...]
    """Planned millionths of an hour of each stage, by step; steps without hours left out."""
    spreads: tuple[Mapping[str, float], ...]
    """Standard deviation / mean of each of these."""
    words: tuple[str, ...]
    """What people noted of hours, each text once, in no order."""
    entries: Entries
    gains: tuple[Gain, ...]
    """By day."""
    material: Mapping[str, Material]
    """Of each job, all of it."""

    @property
    def no_crew(self) -> int:
        """Place of the crew that is not known."""
        return len(self.branch.crews)

    def planned_micro_h(self, stage: int) -> int:
        """Of the whole stage."""
        return sum(self.planned[stage].values())


def exact(amount: float) -> Decimal:
    """Money of a table, to a millionth: few enough digits that no sum of it is ever rounded."""
    return Decimal(str(amount)).quantize(_MILLIONTH)


def open_book(branch: Branch, takeoffs: Mapping[str, JobTakeOff]) -> Book:
    """Everything of the record: hours, progress, and the planned hours that they are held to."""
    people, words = everybody(branch), words_of(branch)
    crew_at = {row.crew: place for place, row in enumerate(branch.crews)}
    row_of = {row.person: row for row in branch.people}
    rows = [row_of.get(person) for person in people]
    job_at = {row.job: place for place, row in enumerate(branch.jobs)}
    nothing_done = stage_hours_all(branch, takeoffs, date.min)
    planned = tuple(
        {step.step: micro_of(step.p50_h) for step in nothing_done[stage.stage].steps}
        for stage in branch.stages
    )
    spreads = tuple(
        {step.step: step.spread for step in nothing_done[stage.stage].steps}
        for stage in branch.stages
    )
    stage_at = {row.stage: place for place, row in enumerate(branch.stages)}
    return Book(
        branch=branch,
        takeoffs=takeoffs,
        people=people,
        costs=tuple(None if row is None else exact(row.cost_per_h) for row in rows),
        crew_of=tuple(len(crew_at) if row is None else crew_at[row.crew] for row in rows),
        job_of=tuple(job_at[stage.job] for stage in branch.stages),
        planned=planned,
        spreads=spreads,
        words=words,
        entries=entries_of(branch, people, words),
        gains=gains(branch.progress, stage_at, planned),
        material=material_all(branch, takeoffs),
    )
