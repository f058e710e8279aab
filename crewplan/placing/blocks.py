"""Steps of a stage as the walk uses them: ordered by priority, chains merged."""

from dataclasses import dataclass

from crewplan.model.hours import StageHours
from crewplan.model.work_rows import EXPOSURES

DUST_H = 1e-9
"""Work shorter than this is rounding, not work."""


@dataclass(frozen=True, slots=True)
class Block:
    """One step, or a chain of steps of one exposure that nothing can come between."""

    exposure: int
    """1 ground, 2 roof, 3 lift: the least level of an hour in which it can be done."""
    work_h: float
    """Person-hours of the table's pace, P50."""
    before: int
    """Bits of the blocks that must be done first."""


@dataclass(slots=True)
class _Node:
    exposure: int
    work_h: float
    before: set[int]


def first_exposure(blocks: tuple[Block, ...]) -> int:
    """Least exposure of what can be done at once: 1 ground, 2 roof, 3 lift; no work: ground."""
    return min((block.exposure for block in blocks if not block.before), default=1)


def _nodes(hours: StageHours) -> dict[int, _Node]:
    place = {step.step: i for i, step in enumerate(hours.steps)}
    all_before: list[set[int]] = []
    nodes: dict[int, _Node] = {}
    for i, step in enumerate(hours.steps):
        direct = {place[name] for name in step.after if name in place}
        before = direct.union(*(all_before[j] for j in direct))
        all_before.append(before)
        if step.p50_h > DUST_H:
            real = {j for j in before if j in nodes}
            # only the nearest ones: what they wait for themselves goes without saying
            nearest = {j for j in real if not any(j in all_before[k] for k in real)}
            nodes[i] = _Node(EXPOSURES.index(step.exposure) + 1, step.p50_h, nearest)
    return nodes


def _next_in_chain(nodes: dict[int, _Node]) -> tuple[int, int] | None:
    for b, node in nodes.items():
        if len(node.before) != 1:
            continue
        (a,) = node.before
        followers = [j for j, other in nodes.items() if a in other.before]
        between = (j for j, other in nodes.items() if a < j < b and other.exposure == node.exposure)
        alike = nodes[a].exposure == node.exposure
        if alike and followers == [b] and next(between, None) is None:
            return a, b
    return None


def blocks_of(hours: StageHours) -> tuple[Block, ...]:
    """The stage's steps that have hours, in the table's order, chains of one exposure merged.

    A chain is merged where the second step waits for nothing but the first, nothing else waits for
    the first, and no step of their exposure stands between them in order: then doing one after the
    other is what the walk would do anyway.
    """
    nodes = _nodes(hours)
    while (pair := _next_in_chain(nodes)) is not None:
        a, b = pair
        nodes[a].work_h += nodes.pop(b).work_h
        for node in nodes.values():
            if b in node.before:
                node.before = (node.before - {b}) | {a}
    index = {key: i for i, key in enumerate(nodes)}
    return tuple(
        Block(node.exposure, node.work_h, sum(1 << index[j] for j in node.before))
        for node in nodes.values()
    )
