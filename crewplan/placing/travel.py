"""How long a crew drives to a site."""

from functools import lru_cache
from math import asin, cos, radians, sin, sqrt

from crewplan.model.settings import Settings

EARTH_RADIUS_KM = 6371.0088
"""Mean radius. Source: IUGG, 1980."""


@lru_cache(maxsize=200_000)
def distance_km(
    latitude: float, longitude: float, other_latitude: float, other_longitude: float
) -> float:
    """Great-circle distance of two points in degrees, in km (haversine formula)."""
    a, b = radians(latitude), radians(other_latitude)
    half_lat = sin((b - a) / 2)
    half_lon = sin(radians(other_longitude - longitude) / 2)
    h = half_lat * half_lat + cos(a) * cos(b) * half_lon * half_lon
    return 2 * EARTH_RADIUS_KM * asin(min(1.0, sqrt(h)))


def drive_h(
    settings: Settings,
    latitude: float,
    longitude: float,
    other_latitude: float,
    other_longitude: float,
) -> float:
    """Hours one way: straight line x `detour_factor` at `travel_kmh`."""
    straight_km = distance_km(latitude, longitude, other_latitude, other_longitude)
    return straight_km * settings.detour_factor / settings.travel_kmh
