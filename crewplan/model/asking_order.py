"""What must be in hand before a requirement can be asked for."""

from collections.abc import Mapping
from dataclasses import dataclass

from crewplan.model.settings import Settings


@dataclass(frozen=True, slots=True)
class ComesAfter:
    """One line of the order; it binds where the job needs the earlier kind at all."""

    kind: str
    first: str
    source: str


DEFAULT_ORDER: tuple[ComesAfter, ...] = (
    ComesAfter("permit", "structural_letter", "common practice, no source: filed with the permit"),
    ComesAfter(
        "permission_to_operate",
        "inspection_passed",
        "common practice, no source: the utility asks for the authority's release",
    ),
)
"""A line of `[comes_after]` in branch.toml replaces those of its kind."""


def asking_order(settings: Settings) -> Mapping[str, tuple[str, ...]]:
    """By kind: what comes before it."""
    order: dict[str, tuple[str, ...]] = {}
    for line in DEFAULT_ORDER:
        order[line.kind] = (*order.get(line.kind, ()), line.first)
    return order | settings.comes_after
