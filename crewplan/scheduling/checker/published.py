"""What was published for the frozen days, or pinned, keeps crew and start."""

from collections.abc import Iterator

from crewplan.scheduling.checker.facts import Facts


def stays(facts: Facts) -> Iterator[str]:
    """It stands where it was published, or a reason says what broke."""
    horizon = facts.plan.horizon
    placed = {p.stage: p for p in facts.known}
    broke = {
        stage.stage
        for stage in facts.choices.stages
        if stage.keep is None and any(reason.kind == "pin" for reason in stage.reasons)
    }
    broke |= {p.placement.stage for p in facts.plan.planned if p.left_its_place}
    broke |= {
        out.stage
        for out in facts.plan.unplaced
        if any(reason.kind == "pin" for reason in out.reasons)
    }
    for row in sorted(facts.branch.plan, key=lambda row: (row.stage, row.part)):
        cell = horizon.cell(row.start_on, row.start_half)
        if cell is None:
            continue
        holds = row.pinned or row.start_on in horizon.frozen
        if not holds or row.stage in broke or facts.hours[row.stage].done:
            continue
        now_at = placed.get(row.stage)
        starts = [] if now_at is None else [min(part.cells) for part in now_at.parts or (now_at,)]
        if now_at is None or now_at.crew != row.crew or cell not in starts:
            word = "pin moved" if row.pinned else "frozen day moved"
            yield f"{word}: {row.stage} was published with crew {row.crew} on {facts.at(cell)}"
