"""What makes a step slower or faster on a roof: all factors that hold, multiplied."""

from collections.abc import Sequence
from typing import NamedTuple

from crewplan.model.condition import JOB_NUMBERS, JOB_WORDS, Condition, parse_condition
from crewplan.model.job_rows import Job, Plane
from crewplan.model.work_rows import Factor


class Rule(NamedTuple):
    """A row of factors with its condition read."""

    condition: Condition
    factor: float


def read_factors(rows: Sequence[Factor]) -> dict[str, tuple[Rule, ...]]:
    """Rules by step.

    Raises:
        ValueError: where a condition is outside the small grammar (intake reports it before).
    """
    rules: dict[str, list[Rule]] = {}
    for row in rows:
        rules.setdefault(row.step, []).append(Rule(parse_condition(row.condition), row.factor))
    return {step: tuple(found) for step, found in rules.items()}


def factor_on(rules: Sequence[Rule], job: Job, plane: Plane | None) -> float:
    """Product of the rules that hold; of several thresholds on one measure the farthest one.

    Without a plane no rule about planes holds.
    """
    product = 1.0
    farthest: dict[tuple[str, str], Rule] = {}
    for rule in rules:
        asked = rule.condition
        of_job = asked.measure in JOB_NUMBERS + JOB_WORDS
        if not asked.holds(getattr(job if of_job else plane, asked.measure, None)):
            continue
        if asked.sign == "=":
            product *= rule.factor
            continue
        other = farthest.get((asked.measure, asked.sign))
        if other is None or _beyond(asked, other.condition):
            farthest[asked.measure, asked.sign] = rule
    for rule in farthest.values():
        product *= rule.factor
    return product


def _beyond(one: Condition, other: Condition) -> bool:
    assert isinstance(one.value, float)  # words only take `=`
    assert isinstance(other.value, float)
    return one.value > other.value if one.sign == ">=" else one.value < other.value
