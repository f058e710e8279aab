"""What if: the branch under a supposition, planned beside the branch as it is."""

from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from crewplan.model.branch import Branch
from crewplan.model.horizon import Horizon
from crewplan.model.people_rows import Absence
from crewplan.model.placement import Choices
from crewplan.model.whatif import Comparison, Supposition
from crewplan.placing.memory import Memory
from crewplan.running.clock import Clock
from crewplan.running.watching import NOBODY, Watch
from crewplan.running.week import Week, plan_week
from crewplan.scheduling import EngineChoice, compare
from crewplan.scheduling.comparing import slots
from crewplan.scheduling.wanting import alike, plain_price, refusals, wanting

ANOTHER = "another "
"""Before the name of a crew, and of its people, that there is one more of."""


@dataclass(frozen=True, slots=True, eq=False)
class WhatIf:
    """The plan as things are, and how it differs under a supposition."""

    week: Week
    supposition: Supposition
    comparison: Comparison
    other: Week | None = None
    """The second plan and what it was made of; None where what was asked for cannot be."""


def _away(branch: Branch, supposition: Supposition, days: tuple[date, ...]) -> tuple[Absence, ...]:
    gone = set(supposition.away)
    gone |= {row.person for row in branch.people if row.crew in supposition.without_crews}
    return tuple(Absence(person, days[0], days[-1], "supposed") for person in sorted(gone))


def supposed_branch(branch: Branch, supposition: Supposition, horizon: Horizon) -> Branch:
    """The branch's tables as they would be, on the days of the horizon."""
    people, crews = list(branch.people), list(branch.crews)
    certificates = list(branch.certificates)
    if supposition.another_like is not None:
        like = supposition.another_like
        crews += [replace(c, crew=ANOTHER + c.crew) for c in branch.crews if c.crew == like]
        joined = {row.person for row in branch.people if row.crew == like}
        people += [
            replace(row, person=ANOTHER + row.person, crew=ANOTHER + like)
            for row in branch.people
            if row.person in joined
        ]
        certificates += [
            replace(row, person=ANOTHER + row.person)
            for row in branch.certificates
            if row.person in joined
        ]
    return replace(
        branch,
        people=tuple(people),
        crews=tuple(crews),
        certificates=tuple(certificates),
        absences=(*branch.absences, *_away(branch, supposition, horizon.days)),
        limits=(*branch.limits, *supposition.limits),
    )


def what_if(
    branch: Branch,
    clock: Clock,
    supposition: Supposition,
    *,
    first: date | None = None,
    days: int = 10,
    engine: EngineChoice = "auto",
    seconds: float = 10,
    publishing: bool = False,
    watch: Watch = NOBODY,
) -> WhatIf:
    """Plan twice, and hold the second plan against the first.

    The second follows the first where that costs less than a unit of currency a stage more, so
    that what moves, moves because of what is supposed. `publishing` and `watch` are as of
    `plan_week`.

    Raises:
        PlanRejected: where the checker does not pass one of the plans.
    """
    plan = partial(
        plan_week,
        clock=clock,
        first=first,
        days=days,
        engine=engine,
        seconds=seconds,
        publishing=publishing,
        watch=watch,
        memory=Memory(),  # most of what is placed is the same under the supposition
    )
    week = plan(branch)
    wanted = supposition.wanted
    if wanted is not None and (refused := refusals(week.choices, wanted)):
        same = compare(week.choices, branch.people, week.plan, week.plan)
        return WhatIf(week, supposition, replace(same, refused=refused))

    def alter(choices: Choices) -> Choices:
        near = alike(choices, slots(week.plan))
        return near if wanted is None else wanting(near, wanted)

    supposed = supposed_branch(branch, supposition, week.plan.horizon)
    other = plan(supposed, alter=alter)
    left_out = {out.stage: out.reasons for out in other.plan.unplaced}
    if wanted is not None and not wanted.off and wanted.stage in left_out:
        same = compare(week.choices, branch.people, week.plan, week.plan)
        return WhatIf(week, supposition, replace(same, refused=left_out[wanted.stage]))
    found = compare(week.choices, supposed.people, week.plan, plain_price(other.plan))
    return WhatIf(week, supposition, found, other)
