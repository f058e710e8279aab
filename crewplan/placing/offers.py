"""What each crew could do for a stage by itself, in this look or the last one."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.placing.branch_rows import BranchRows
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.fill_parts import fill_parts
from crewplan.placing.fit_line import Earlier, Fitted, fit_line
from crewplan.placing.memory import Memory
from crewplan.placing.nearest import by_nearness, most_crews
from crewplan.placing.nearly import Nearly
from crewplan.placing.needs.people import DayFault
from crewplan.placing.overtime import fill_overtime
from crewplan.placing.site import Sites
from crewplan.placing.stage_facts import StageFacts
from crewplan.placing.timeline import Timeline

MAY_COME_BACK = 12
"""Of the crews that may do a stage so many, the nearest, may leave it open and come back: the ways
to do that are many, and each costs the drive again."""


@dataclass(frozen=True, slots=True, eq=False)
class Offered:
    """A stage with what each crew could do for it by itself."""

    facts: StageFacts
    crews: tuple[CrewChoices, ...]
    made_of: Mapping[str, bytes]
    """By crew that was asked: what stands for all that its choices were made from."""


@dataclass(frozen=True, slots=True, eq=False)
class _Walks:
    """Of one stage: crews of one time line share one walk."""

    site: Sites
    facts: StageFacts
    made: dict[tuple[int, bool], Fitted]

    def along(self, line: Timeline, earlier: Earlier | None, *, in_one_go: bool) -> Fitted:
        key = id(line), in_one_go
        if key not in self.made:
            self.made[key] = fit_line(
                self.site, self.facts, line, in_one_go=in_one_go, earlier=earlier
            )
        return self.made[key]

    def fill(
        self,
        choices: CrewChoices,
        faults: list[DayFault],
        good: NDArray[np.bool_],
        nearly: Nearly | None,
        *,
        in_one_go: bool,
    ) -> None:
        """All that a crew could do from the good starts: in one go, in parts, with overtime."""
        regular = None
        if choices.line.cells:
            earlier = nearly.walk(overtime=False) if nearly else None
            regular = self.along(choices.line, earlier, in_one_go=in_one_go)
            choices.fill(regular, faults, good, known=nearly.placements() if nearly else None)
            fill_parts(choices, regular, faults, good)
            choices.walked[False] = regular.kept()
        if choices.overtime:
            earlier = nearly.walk(overtime=True) if nearly else None
            late = self.along(choices.late_line, earlier, in_one_go=True)
            fill_overtime(choices, regular, late, faults, good)
            choices.walked[True] = late.kept()


@dataclass(frozen=True, slots=True, eq=False)
class Offers:
    """Asks the crews, stage after stage."""

    site: Sites
    memory: Memory
    """Of the last look, and of this one afterwards."""
    most_crews: int
    """That a stage is offered to."""

    def of(self, facts: StageFacts) -> Offered:
        """The stage with each crew that it is offered to, in the table's order."""
        walks = _Walks(self.site, facts, {})
        found: dict[str, CrewChoices] = {}
        told = self.memory.of(self.site, facts)
        published = None if facts.published is None else facts.published.crew
        made_of: dict[str, bytes] = {}
        able = 0
        for crew in by_nearness(self.site, facts.job):
            if able >= self.most_crews and crew.name != published:
                continue
            in_one_go = able >= MAY_COME_BACK and crew.name != published
            pair = self.memory.of_pair(told, crew.name, in_one_go=in_one_go)
            made_of[crew.name] = pair
            choices = self.memory.recall(pair, facts, crew)
            if choices is None:
                choices = CrewChoices(self.site, facts, crew)
                faults, good = choices.admissible()
                if good.any():
                    # the worst weathers are told member by member, which is not kept
                    worst = choices.weight_of_worst > 0
                    nearly = None if worst else self.memory.nearly(pair, facts, crew)
                    walks.fill(choices, faults, good, nearly, in_one_go=in_one_go)
                self.memory.keep(pair, facts, choices)
            found[crew.name] = choices
            able += bool(choices.placements)
        crews = tuple(found[crew.name] for crew in self.site.crews if crew.name in found)
        return Offered(facts, crews, made_of)


def offers(rows: BranchRows, memory: Memory) -> Offers:
    """A new look; `memory` is of the last one."""
    memory.look(rows.site)
    stages, crews = sum(rows.open_stages.values()), len(rows.site.known.branch.crews)
    return Offers(rows.site, memory, most_crews(stages, crews))
