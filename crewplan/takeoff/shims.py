"""How many shims a roof that is out of flat takes.

Assumed, no source: under each attachment the roof dips below its highest line by anything from 0 to
`unevenness_mm`, all alike likely and each for itself; what is left after the rail's own play is
filled with shims of one thickness. From these the counts follow exactly.
"""

import math

import numpy as np

from crewplan.model.takeoff import Shims

PIECE_MM = 3.0
"""Thickness of a shim: about an eighth of an inch. Assumed."""
PLAY_MM = 3.0
"""What the slot of a foot takes up by itself. Assumed."""
_SHARE = 0.8
_ROUNDING = 1e-9


def shims(attachments: int, unevenness_mm: float) -> Shims | None:
    """What eight of ten such roofs need no more than; None where nothing dips past the play."""
    chances = _pieces_under_one(unevenness_mm)
    if attachments == 0 or len(chances) == 1:
        return None
    places = _sum_of(np.array([chances[0], 1 - chances[0]]), attachments)
    return Shims(
        places_p80=_quantile(places),
        pieces_p80=_quantile(_sum_of(chances, attachments)),
        height_p80_mm=PIECE_MM * _quantile(chances),
        piece_mm=PIECE_MM,
    )


def _pieces_under_one(unevenness_mm: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Chance of 0, 1, 2 ... shims under one attachment: a dip d takes ceil((d - play) / piece)."""
    most = max(0, math.ceil((unevenness_mm - PLAY_MM) / PIECE_MM - _ROUNDING))
    ends = np.minimum(PLAY_MM + PIECE_MM * np.arange(most + 1), unevenness_mm)
    return np.diff(ends, prepend=0.0) / unevenness_mm if most else np.ones(1)


def _sum_of(
    chances: np.ndarray[tuple[int], np.dtype[np.float64]], times: int
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Chances of the sum over so many attachments, by doubling."""
    total, power = np.ones(1), chances
    while times:
        if times % 2:
            total = np.convolve(total, power)
        times //= 2
        if times:
            power = np.convolve(power, power)
    return total


def _quantile(chances: np.ndarray[tuple[int], np.dtype[np.float64]]) -> int:
    """The least number that holds in `_SHARE` of cases."""
    return int(np.searchsorted(np.cumsum(chances), _SHARE - _ROUNDING))
