"""Lags against the wind's pull, in words: flagged or not checked, never good."""

from crewplan.model.takeoff import PlaneTakeOff
from crewplan.publishing.screen_units import UnitSystem, quantity

_DEFERS = "see the structural letter, which decides"


def uplift_words(plane: PlaneTakeOff, units: UnitSystem) -> str:
    """One sentence without its full stop; empty where nothing was looked at."""
    check = plane.uplift
    if check is None:
        return ""
    told = f"plane {plane.plane}: lag withdrawal against uplift"
    if check.uplift_n is None or check.holds_n is None:
        why = f"{', '.join(check.missing)} not stated" if check.lags else "no lags, clamps on seams"
        return f"{told} not checked ({why}); {_DEFERS}"
    sums = (
        f"{quantity(check.uplift_n, 'N', units)} on the worst attachment, reference withdrawal"
        f" {quantity(check.holds_n, 'N', units)}"
    )
    if check.word == "flagged":
        short = quantity(check.uplift_n - check.holds_n, "N", units)
        return f"{told} FLAGGED: {sums}, {short} too little; {_DEFERS}"
    return f"{told} not flagged: {sums}; this proves nothing, {_DEFERS}"
