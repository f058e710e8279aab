"""What the modules should give, for the check against what the meter shows."""

STANDARD_IRRADIANCE_WM2 = 1000.0
STANDARD_CELL_C = 25.0
TEMPERATURE_SHARE_PER_K = -0.0035
"""Of rated power for a kelvin above 25 degC, where the maker's sheet is not at hand. Assumed."""


def expected_power_w(
    rated_w: float,
    irradiance_wm2: float,
    cell_c: float,
    share_per_k: float = TEMPERATURE_SHARE_PER_K,
) -> float:
    """Direct-current power of the modules, W.

    Rated power x irradiance / 1000 x (1 + share x (cell temperature - 25)): the linear model of
    NREL's PVWatts (Dobos, NREL/TP-6A20-62641, 2014; from memory, unchecked).
    """
    warm = 1 + share_per_k * (cell_c - STANDARD_CELL_C)
    return rated_w * irradiance_wm2 / STANDARD_IRRADIANCE_WM2 * warm
