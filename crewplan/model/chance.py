"""A chance as whole per cent."""

_DUST = 1e-9
"""29/100 is a hair below 0.29 in floating point, and is 29 %."""


def whole_percent(share: float) -> int:
    """Rounded down, so that no chance looks better than it is; below 100 unless certain."""
    return int(share * 100 + _DUST)
