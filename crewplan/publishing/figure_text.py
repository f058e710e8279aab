"""Figures that may be undefined, on a screen."""

from crewplan.model.ledger import Figure, Undefined


def figure_text(value: Figure, decimals: int = 2) -> str:
    """A figure with so many decimals; a line where it is undefined."""
    return "-" if isinstance(value, Undefined) else f"{value:,.{decimals}f}"
