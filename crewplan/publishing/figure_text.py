"""Figures that may be undefined, on a screen."""

from crewplan.model.ledger import Figure, Undefined
from crewplan.publishing.reader import decimal


def figure_text(value: Figure, decimals: int = 2) -> str:
    """A figure with so many decimals; a line where it is undefined."""
    return "-" if isinstance(value, Undefined) else decimal(value, decimals)
