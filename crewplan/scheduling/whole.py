"""Amounts as whole numbers, rounded so that a plan can only be more careful than the tables."""

import math

PER_UNIT = 1000
"""Stock is counted in thousandths of a stocked unit."""

PER_HOUR = 60
"""Time in a half-day is counted in minutes."""

_DUST = 1e-6
"""Of the counted unit: what binary fractions leave behind (0.1 + 0.2)."""


def need(amount: float, per: int) -> int:
    """An amount that is used: rounded up."""
    return math.ceil(amount * per - _DUST)


def supply(amount: float, per: int) -> int:
    """An amount that there is: rounded down."""
    return math.floor(amount * per + _DUST)
