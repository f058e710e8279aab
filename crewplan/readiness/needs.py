"""Which requirements a stage waits for."""

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Stage

INSPECTION_PASSED = "inspection_passed"
CUSTOMER_CONFIRMED = "customer_confirmed"
KIT = "kit"
DEFAULT_NEEDS: dict[str, tuple[str, ...]] = {
    "roof": ("permit", "survey", KIT),
    "electrical": ("permit", "survey", KIT, "utility_approval"),
    "inspection": (),
    "commissioning": ("permission_to_operate", INSPECTION_PASSED),
    "return": (),
}
"""By kind of stage, besides what the authority asks for; `[requirements]` replaces a line."""
BUILDING = ("roof", "electrical")
"""Kinds of stage that wait for what the authority asks for before building."""


def needs(branch: Branch, stage: str) -> tuple[str, ...]:
    """Kinds of requirement that a stage waits for, each once.

    What the authority asks for, and any further word that has a row for the job (a deposit, an
    association's consent) holds building. `customer_confirmed` is a call to make, never a need.
    """
    row = next(row for row in branch.stages if row.stage == stage)
    return needs_of_all(branch, (row,))[stage]


def needs_of_all(branch: Branch, stages: tuple[Stage, ...]) -> dict[str, tuple[str, ...]]:
    """`needs` of many stages at once."""
    lines = {**DEFAULT_NEEDS, **branch.settings.requirements}
    named = {kind for line in (*DEFAULT_NEEDS.values(), *lines.values()) for kind in line}
    asks_for = {row.authority: row.asks_for for row in branch.authorities}
    authority = {job.job: job.authority for job in branch.jobs}
    further: dict[str, list[str]] = {}
    for row in branch.requirements:
        if row.kind not in named:
            further.setdefault(row.job, []).append(row.kind)
    found: dict[str, tuple[str, ...]] = {}
    for stage in stages:
        kinds = list(lines.get(stage.kind, ()))
        if stage.kind in BUILDING:
            kinds += asks_for.get(authority[stage.job], ())
            kinds += further.get(stage.job, ())
        found[stage.stage] = tuple(
            kind for kind in dict.fromkeys(kinds) if kind != CUSTOMER_CONFIRMED
        )
    return found
