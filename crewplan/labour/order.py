"""Steps in an order in which each follows those before it."""

from collections.abc import Collection, Sequence

from crewplan.model.work_rows import Step


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Each step after all that it names, else in the table's order.

    Steps named in `after` that are not among `steps` (of another kind) do not bind.

    Raises:
        ValueError: where steps wait for each other in a circle (intake reports it before).
    """
    waiting = {step.step: step for step in steps}
    ordered: list[Step] = []
    while waiting:
        free = next(
            (step for step in waiting.values() if not any(name in waiting for name in step.after)),
            None,
        )
        if free is None:
            raise ValueError(f"steps wait for each other in a circle: {', '.join(waiting)}")
        ordered.append(waiting.pop(free.step))
    return tuple(ordered)


def binding_after(ordered: Sequence[Step], kept: Collection[str]) -> dict[str, tuple[str, ...]]:
    """By kept step: the kept steps right before it, seen through those that have no hours."""
    seen: dict[str, tuple[str, ...]] = {}
    for step in ordered:
        before: dict[str, None] = {}
        for name in step.after:
            if name in kept and name in seen:
                before[name] = None
            else:
                before.update(dict.fromkeys(seen.get(name, ())))
        seen[step.step] = tuple(before)
    return {name: seen[name] for name in seen if name in kept}
