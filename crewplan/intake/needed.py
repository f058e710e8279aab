"""Which cells must not be empty.

A key, and what no plan can do without, is a fault where it is empty. Every other column without a
default only makes its row useless: the package's row fills it in (`gaps`), or the row is left out;
a warning says so.
"""

from crewplan.intake.fields import Field
from crewplan.model.tables import Table

NEEDED: dict[str, frozenset[str]] = {
    "people": frozenset({"crew", "role", "cost_per_h"}),
    "crews": frozenset({"base_latitude", "base_longitude"}),
    "jobs": frozenset({"latitude", "longitude", "earliest_on", "due_on"}),
    "planes": frozenset({"rows", "module", "pitch_deg", "covering", "rafter_spacing_mm"}),
    "stages": frozenset({"job", "kind"}),
    "requirements": frozenset({"state"}),
    "weather": frozenset({"member"}),
}
"""By table, besides its key."""


def is_needed(table: Table, field: Field) -> bool:
    """Whether an empty cell of the column is a fault."""
    if field.name in NEEDED.get(table.name, ()):
        return True
    return field.name in table.key and not field.has_default
