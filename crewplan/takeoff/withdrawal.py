"""Lag withdrawal against uplift: a sum on the back of the sheet, never a proof.

W = 1800 G^1.5 D^0.75, pounds an inch of thread in the side grain, G the specific gravity of the
wood and D the lag's diameter in inches: National Design Specification for wood construction (NDS),
the formula behind table 12.2A. Taken as it stands: no factor for the load's duration, none for wet
wood or heat, no dead load taken off the uplift.
"""

from typing import Literal

from crewplan.model.takeoff import UpliftCheck

_MM_PER_INCH = 25.4
_NEWTON_PER_POUND = 0.45359237 * 9.80665


def withdrawal_n_per_mm(gravity: float, diameter_mm: float) -> float:
    """Reference withdrawal value of one lag, newtons a mm of thread."""
    pounds_per_inch = 1800.0 * gravity**1.5 * (diameter_mm / _MM_PER_INCH) ** 0.75
    return float(pounds_per_inch * _NEWTON_PER_POUND / _MM_PER_INCH)


def uplift_n(pressure_pa: float, reach_mm: float, module_up_mm: float) -> float:
    """Uplift on one attachment, newtons: the pressure on its part of the rail, half of a module's
    side wide."""
    return pressure_pa * (reach_mm / 1000.0) * (module_up_mm / 2000.0)


def carried_mm(length_mm: float, seats_mm: tuple[float, ...]) -> float:
    """The longest part of a rail that one attachment carries: half of each span beside it, and the
    whole of a cantilever."""
    ends = [-seats_mm[0], *seats_mm, 2 * length_mm - seats_mm[-1]]
    # mirrored ends: half the way to them is the whole cantilever
    return max((after - before) / 2 for before, after in zip(ends, ends[2:], strict=False))


def lag_check(
    pressure_pa: float | None,
    gravity: float | None,
    lag_mm: tuple[float | None, float | None],
    lags: int,
    uplift_per_attachment_n: float | None,
) -> UpliftCheck:
    """Whether the uplift on the worst attachment is over its lags' reference withdrawal.

    Args:
        pressure_pa: design pressure that lifts the modules; None: not stated.
        gravity: of the rafters' wood; None: not known.
        lag_mm: diameter, and length of thread in the rafter.
        lags: in one attachment; 0: it is held by none.
        uplift_per_attachment_n: None where it cannot be told, since no place is known.
    """
    diameter, thread = lag_mm
    stated = {
        "uplift_pa": pressure_pa,
        "rafter_gravity": gravity,
        "lag_diameter_mm": diameter,
        "lag_thread_mm": thread,
        "first_rafter_mm": uplift_per_attachment_n if pressure_pa is not None else 0.0,
    }
    missing = tuple(name for name, value in stated.items() if value is None)
    if lags == 0 or gravity is None or diameter is None or thread is None:
        return UpliftCheck("not checked", missing if lags else (), lags)
    if uplift_per_attachment_n is None:
        return UpliftCheck("not checked", missing, lags)
    holds = lags * thread * withdrawal_n_per_mm(gravity, diameter)
    word: Literal["flagged", "not flagged"] = (
        "flagged" if uplift_per_attachment_n > holds else "not flagged"
    )
    return UpliftCheck(word, (), lags, uplift_per_attachment_n, holds)
