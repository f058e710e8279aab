"""Lengths and counts of one row on its two rails, before anybody has measured the rafters.

Sources: row length from a distributor's worked page; attachments a rail
n = ceil((L - 2c) / s) + 1, at least 2, with s the largest multiple of the rafter spacing within
the allowed span, from the same page and a training page.
"""

import math

from crewplan.model.job_rows import Racking

RAILS = 2
"""Rails under a row."""
THERMAL_BREAK_MM = 12_192.0
"""Longest run of rail without a gap for heat: 40 ft, makers' manuals (some say 30 to 36 ft)."""
_ROUNDING_MM = 1e-6


def ceil_mm(ratio: float) -> int:
    """Round up, but not for a difference that only comes from floating point."""
    return math.ceil(ratio - _ROUNDING_MM)


def row_length_mm(modules: int, side_mm: float, racking: Racking) -> float:
    """n * side + (n - 1) * gap + 2 * overhang: the row with the ends of its rails, mm."""
    return modules * side_mm + (modules - 1) * racking.gap_mm + 2 * racking.overhang_mm


def spaces_per_span(rafter_spacing_mm: float, max_span_mm: float) -> int:
    """How many rafter spaces one span may bridge; 0 where the span is below one space."""
    return math.floor(max_span_mm / rafter_spacing_mm + _ROUNDING_MM)


def attachments_by_formula(length_mm: float, spacing_mm: float, cantilever_mm: float) -> int:
    """Attachments on one rail, ceil((L - 2c) / s) + 1 and at least 2."""
    return max(2, ceil_mm((length_mm - 2 * cantilever_mm) / spacing_mm) + 1)
