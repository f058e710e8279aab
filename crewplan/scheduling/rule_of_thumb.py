"""What a planner does by hand: earliest promise first, the next crew that may."""

import heapq

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Choices
from crewplan.scheduling.fill import fill
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.selection import NOWHERE, Picked


def stage_order(choices: Choices) -> tuple[str, ...]:
    """Stages by promise, priority and the table's order; none before a stage that it follows.

    Stages in a circle are left out: no plan can place them.
    """
    rank = {s.stage: (s.due_on, s.priority, i) for i, s in enumerate(choices.stages)}
    waits = {s.stage: {a for a in s.after if a in rank} for s in choices.stages}
    followers: dict[str, list[str]] = {stage: [] for stage in rank}
    for stage, before in waits.items():
        for forerunner in before:
            followers[forerunner].append(stage)
    ready = [(rank[stage], stage) for stage, before in waits.items() if not before]
    heapq.heapify(ready)
    ordered: list[str] = []
    while ready:
        _, stage = heapq.heappop(ready)
        ordered.append(stage)
        for follower in followers[stage]:
            waits[follower].discard(stage)
            if not waits[follower]:
                heapq.heappush(ready, (rank[follower], follower))
    return tuple(ordered)


def column_order(problem: Problem) -> NDArray[np.int64]:
    """Columns by their stage's turn, then earliest start, then the crews' order in the table.

    Nobody leaves a job open by a rule of thumb: stages in two parts are no column of it.
    """
    held, places = problem.held, problem.held.placed
    turn_of = {stage: turn for turn, stage in enumerate(stage_order(held.choices))}
    turns = np.array([turn_of.get(stage, NOWHERE) for stage in held.of_stage], dtype=np.int64)
    alone = len(held.placements)
    turn = turns[places.stage] if len(turns) else turns
    order = np.lexsort((places.crew, places.first, turn))
    in_one_go = np.ones(alone, dtype=np.bool_)
    in_one_go[held.left_open] = False
    ordered: NDArray[np.int64] = order[(turn[order] != NOWHERE) & in_one_go[order]]
    return ordered


def rule_of_thumb(problem: Problem, kept: Picked) -> Picked:
    """The rule of thumb's plan, under the same hard rules, around what is kept."""
    return fill(problem.selection, kept, column_order(problem))
