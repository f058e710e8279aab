"""The hard rules. Each gives rows for the problem, and plain words for what it keeps out.

To add one: a module with NAME, KIND, `rows(columns)` and `words(clashes)`, and an entry in RULES.
`clashes` has what the rule is about (a crew, a stage, a piece of equipment), and the stages of the
plan that stand in the way.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rules import (
    crew_time,
    equipment,
    inspections,
    lending,
    material,
    once,
    open_jobs,
    order,
    together,
)
from crewplan.scheduling.selection import Row

Words = Callable[[Mapping[str, tuple[str, ...]]], str]


@dataclass(frozen=True, slots=True)
class Rule:
    """One hard rule."""

    name: str
    kind: ReasonKind
    rows: Callable[[Columns], Iterator[Row]]
    words: Words


RULES: tuple[Rule, ...] = tuple(
    Rule(rule.NAME, rule.KIND, rule.rows, rule.words)
    for rule in (
        once,
        crew_time,
        open_jobs,
        together,
        order,
        equipment,
        inspections,
        material,
        lending,
    )
)
"""In the order in which their reasons are told. `keep` is apart: it needs to know what can stay."""

MEANING: frozenset[str] = frozenset({once.NAME, together.NAME})
"""Rules that say what a column means; nothing is gained by waiving one."""
