"""What the wind does to a module that somebody holds."""

from crewplan.model.job_rows import Module
from crewplan.publishing.screen_units import UnitSystem, quantity

_PRESSURE_FACTOR = 0.613
"""Pa for (m/s)^2: half of the air's density at sea level, ASCE 7's constant."""
_FORCE_COEFFICIENT = 1.2
"""Of a flat plate square to the wind (no unit)."""
_GRAVITY_MPS2 = 9.80665


def wind_pressure_pa(speed_mps: float) -> float:
    """Velocity pressure q = 0.613 V^2, in Pa, V in m/s."""
    return _PRESSURE_FACTOR * speed_mps**2


def wind_force_n(speed_mps: float, module: Module) -> float:
    """Push on a module held square to the wind, in N."""
    area_m2 = module.width_mm * module.height_mm / 1e6
    return wind_pressure_pa(speed_mps) * _FORCE_COEFFICIENT * area_m2


def wind_as_mass_kg(speed_mps: float, module: Module) -> float:
    """The mass whose weight equals the push, in kg."""
    return wind_force_n(speed_mps, module) / _GRAVITY_MPS2


def wind_words(limit_mps: float, module: Module, units: UnitSystem) -> str:
    """What the wind does to a module at the limit."""
    push = quantity(wind_force_n(limit_mps, module), "N", units)
    mass = quantity(wind_as_mass_kg(limit_mps, module), "kg", units)
    own = quantity(module.mass_kg, "kg", units)
    return (
        f"At the limit, a gust of {quantity(limit_mps, 'm/s', units)}, the wind presses with"
        f" {quantity(wind_pressure_pa(limit_mps), 'Pa', units)}: a module held square to it is"
        f" pushed with {push}, like the weight of {mass}. It weighs {own} itself."
    )
