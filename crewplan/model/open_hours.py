"""Which hours are open for work at a site, member by member."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class OpenHours:
    """Hours of one site against the limits. H hours, M rows of the denominator of shares.

    The exposure axis follows `EXPOSURES`: ground, roof, lift. A share is a mean over axis 1 of
    `good`: members that lack a value, or are absent, are False there. Where the denominator is
    under ten, the M rows are draws of the assumed error around the members, and the last row is
    never good, so that one forecast never gives a share of 1.
    """

    starts_s: NDArray[np.int64]
    """Start of each hour, whole seconds since 1970-01-01 UTC, in the order asked for."""
    good: NDArray[np.bool_]
    """[3, M, H]: every needed value is there, fresh enough and within limits."""
    known: NDArray[np.bool_]
    """[3, H]: every needed value of every member is there and fresh enough."""
    hopeful: NDArray[np.bool_]
    """[3, M, H]: good if every missing value were good."""
    climatology: NDArray[np.bool_]
    """[H]: taken from past weather, beyond the forecast. Never in the gate."""
    place: str
    """Place of the forecast used; empty: none, or the branch's own."""
    distance_km: float
    """Site to place; infinity where there is no place."""
    notes: tuple[str, ...] = ()
    """What a plan must say: forecast older than the gate allows, beyond the forecast ..."""
