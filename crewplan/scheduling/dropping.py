"""What stands of an earlier choice: columns that break a rule by now are dropped."""

from collections.abc import Collection

import numpy as np

from crewplan.scheduling.problem import Problem
from crewplan.scheduling.rule_of_thumb import column_order
from crewplan.scheduling.selection import Picked

Key = tuple[object, ...]
"""Of a placement, as its `key`."""


def standing_columns(whole: Problem, keys: Collection[Key], seated: Picked | None = None) -> Picked:
    """The columns of these placements beside those that are seated, as many as stand together.

    While a row is broken, the one of its columns goes whose stage comes last in turn (the latest
    promise), never one that is seated. Lower ends are not looked at.
    """
    wanted = frozenset(keys)
    taken = frozenset[str]() if seated is None else whole.stages(seated)
    asked = {key[0] for key in wanted} - taken
    # most are told apart by the first parts of their key, which are there without making it
    roughly = {key[:3] for key in wanted}
    picked = whole.held.with_loans(
        p.stage in asked and (p.stage, p.crew, p.cells) in roughly and p.key in wanted
        for p in whole.held.placements
    )
    if seated is not None:
        picked |= seated
    # what the rule of thumb has no turn for goes first
    order = column_order(whole)
    rank = np.full(len(picked), len(order) + 1, dtype=np.int64)
    rank[order] = np.arange(1, len(order) + 1)
    if seated is not None:
        rank[seated] = 0
    selection = whole.selection
    while len(over := np.flatnonzero(selection.activity(picked) > selection.upper)):
        row = selection.matrix[[over[0]]]
        uses = row.indices[row.data > 0]
        uses = uses[picked[uses]]
        picked[uses[np.argmax(rank[uses])]] = False
    return picked
